//! The program `polepair`. Everything it does is in the library, see `cli`.

use std::process::ExitCode;

fn main() -> ExitCode {
    // The program calls itself to read a foreign list behind limits of its own.
    if let Some(status) = polepair::plates::child::called() {
        return status;
    }
    polepair::cli::main()
}
