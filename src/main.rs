//! The program.

fn main() -> std::process::ExitCode {
    if let Some(status) = polepair::plates::child::called() {
        return status;
    }
    std::process::ExitCode::SUCCESS
}
