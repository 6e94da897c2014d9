//! Usage, help and the commands that need no file.

use super::{folder_with, run, run_in};

#[test]
fn help_and_version_are_well() {
    let help = run(&["--help"]).ends(0);
    for entry in polepair::cli::commands::COMMANDS {
        assert!(
            help.out.contains(entry.word) && help.out.contains(entry.line),
            "{}\n{}",
            entry.word,
            help.out
        );
        let own = run(&[entry.word, "--help"]).ends(0);
        for (command, _) in entry.examples {
            assert!(
                own.out.contains(command),
                "{command} is not in the help of {}:\n{}",
                entry.word,
                own.out
            );
        }
    }
    run(&["--version"]).ends(0).says(env!("CARGO_PKG_VERSION"));
}

/// What is brought along from tables of other programs, and values handed to a formula of the library, in words of who typed them.
#[test]
fn what_is_wrong_in_a_formula_is_told_in_the_words_of_who_typed_it() {
    for (typed, part) in [
        ("B2*2", "a place in a table of another program"),
        ("SUM(3 kW, 4 kW)", "words are written small here: `sum(x for LIST)`"),
        ("0,350 m", "write `0.350`"),
        (
            "premium_efficiency(20 hp, 4 pole, 60 Hz)",
            "value 3, `built`, is a text there and no number",
        ),
        (
            "premium_efficiency(20 hp, 4 pole, 60 Hz)",
            "write `\"enclosed\"` or `\"open\"`",
        ),
    ] {
        run(&["calc", typed]).complains(part);
    }
    let nought = run(&["calc", "0,350 m"]);
    assert!(!nought.err.contains("0350"), "{}", nought.err);
    // A quantity that is near by its name is meant.
    run(&["calc", "G_N*2 kg"]).complains("did you mean `g_n`?");
}

#[test]
fn wrong_usage_is_64_and_says_what_to_try() {
    run(&["wrok", "a.pole"])
        .ends(64)
        .silent()
        .complains("did you mean work?");
    run(&["xyz"]).ends(64).silent().complains("commands are work, import");
    run(&["work"]).ends(64).silent().complains("FILE.pole");
    run(&["work", "a.pole", "--jsn"]).ends(64).silent().complains("--json");
    run(&["calc"]).ends(64).silent();
    run(&["export", "a.pole"]).ends(64).silent().complains("--to");
}

#[test]
fn without_a_window_it_says_so_and_names_what_there_is() {
    run(&[])
        .ends(64)
        .silent()
        .complains("polepair import")
        .complains("polepair work")
        .complains("--help");
    run(&["rink.pole"])
        .ends(64)
        .silent()
        .complains("no window")
        .complains("polepair work rink.pole");
}

#[test]
fn tables_are_listed_found_and_printed() {
    let all = run(&["tables"]).ends(0);
    for name in polepair::standards::tables::names() {
        assert!(all.out.contains(name), "{name} is not in the list");
    }
    // NEC Table 430.250: 50 hp at 460 V takes 65 A.
    let currents = run(&["tables", "nec_430_250"]).ends(0);
    for said in [
        "Table 430.250",
        "all rows read",
        "I       A   Full-load current",
        "  50   460    65",
    ] {
        assert!(currents.out.contains(said), "{said}\n{}", currents.out);
    }
    // Rows from memory are told from rows that were read.
    let ratings = run(&["tables", "iec_60072_1"]).ends(0);
    assert!(ratings.out.contains("from memory") && ratings.out.contains("read"));
    let found = run(&["tables", "Tolerances"]).ends(0);
    assert!(
        found.out.contains("iec_60034_1_12") && !found.out.contains("nec_430_250  "),
        "{}",
        found.out
    );
    assert_eq!(run(&["explain", "nec_430_250"]).ends(0).out, currents.out);
    run(&["tables", "nec_430_205"])
        .ends(64)
        .silent()
        .complains("did you mean nec_430_250");
    run(&["calc", "next_up(I for nec_430_250 at P = 45 hp where V = 460 V)"])
        .ends(0)
        .says("65 A");
}

#[test]
fn calc_works_one_expression() {
    // Synchronous speed of four poles at 60 Hz: 120·60/4 = 1800, exact.
    run(&["calc", "60 Hz / (4 pole) in r/min"]).ends(0).says("1800 r/min");
    // 7.5·0.745699872 kW = 5.592749… kW, the mechanical horsepower of 550 ft·lbf/s.
    let hp = run(&["calc", "7.5 hp in kW"]).ends(0).says("5.593 kW");
    assert!(hp.out.contains("5.592749"), "the unrounded value follows: {}", hp.out);
    run(&["calc", "-3 kW + 5 kW"]).ends(0).says("2 kW");
    run(&["calc", "1 kW < 2 kW"]).ends(0).says("yes");
    // 40 r/min of slip, give or take 8, of 1800 r/min: 32/1800 and 48/1800.
    run(&["calc", "(1800 r/min - (1760 r/min ± 8 r/min)) / 1800 r/min in %"])
        .ends(0)
        .says("2.22 (1.77 … 2.67) %");
    // Limits far wider than the value do not round it away.
    run(&["calc", "50 limits -2000 … 4000"])
        .ends(0)
        .says("50 (-2000 … 4000)");
    run(&["calc", "3 limits 1 … 900"]).ends(0).says("3 (0 … 900)");
}

#[test]
fn calc_tells_a_fault_with_its_place_and_help() {
    let fault = run(&["calc", "60 Hz in r/min"]).ends(2).silent();
    assert!(
        fault.err.contains("60 Hz in r/min") && fault.err.contains('━'),
        "{}",
        fault.err
    );
    assert!(
        fault.err.contains("try:") && fault.err.contains("polepair explain"),
        "{}",
        fault.err
    );
    run(&["calc", "1 / 0"]).ends(2).silent();
    run(&["calc", ""]).ends(2).silent();
    run(&["calc", "P_sh * 2"]).ends(2).silent().complains("P_sh");
    let brackets = "(".repeat(100_000);
    run(&["calc", &brackets]).ends(2).silent();
    run(&["calc", "2^2^2^2^2^2^2^2"]).ends(2).silent();
}

#[test]
fn units_finds_symbols_spellings_and_kinds() {
    run(&["units", "hp"]).ends(0).says("hp").says("hp_e");
    run(&["units", "torque"]).ends(0).says("N·m").says("lbf·ft");
    run(&["units", "rpm"]).ends(0).says("r/min");
    run(&["units"]).ends(0).says("kW").says("shaft power");
    run(&["units", "furlongs"]).ends(64).silent().complains("furlongs");
}

#[test]
fn explain_tells_every_code() {
    for code in polepair::fault::Code::all() {
        let told = run(&["explain", code.word()]).ends(0);
        assert!(
            told.out
                .contains(code.entry().example.lines().next().unwrap_or_default()),
            "{}",
            told.out
        );
    }
    for function in polepair::language::functions::all() {
        let told = run(&["explain", function.name]).ends(0);
        let last = function.parameters.last().map_or("", |parameter| parameter.name);
        assert!(
            told.out.contains(function.example.0) && told.out.contains(last),
            "{}",
            told.out
        );
    }
    run(&["explain", "run_up_time"]).says("a curve of torque over shaft speed");
    run(&["explain", "operating_speed"]).says("with curve T_M");
    run(&["explain", "voltage dip"])
        .ends(0)
        .says("dip_at_bus(")
        .says("dip_by_power(");
    run(&["explain", "GD²"]).ends(0).says("flywheel effect  (a kind)");
    run(&["explain", "flywheel effect"])
        .ends(0)
        .says("flywheel-effect  (an error")
        .says("Also called");
    run(&["explain", "gear efficiency"]).ends(0).says("between 0 and 100 %");
    run(&["explain", "hoist"]).ends(0).says("hoist_torque_lowering(");
    run(&["explain", "run_up_tiem"]).ends(64).complains("run_up_time");
    run(&["explain", "unknown-nmae"])
        .ends(64)
        .silent()
        .complains("unknown-name");
    // 30 % of the slip below 1 kW: IEC 60034-1 clause 12 as printed in the handbook that the table names.
    for (name, said) in [
        (
            "iec_60034_1",
            "output below 1 kW: plus or minus 30 % of the guaranteed slip",
        ),
        ("nema_mg_1", "± nema_mg_1(n_s)   (n_s: synchronous speed)"),
    ] {
        run(&["explain", name]).ends(0).says(said).says("polepair tables");
        run(&["tables", name]).ends(0).says(name);
        run(&["explain", "schedule"]).ends(0).says("± iec_60034_1");
    }
    run(&["explain", "iec_60034_l"]).ends(64).complains("iec_60034_1");
    run(&["explain", "qqqq"]).ends(64).silent().complains("unknown-name");
}

#[test]
fn tidy_rewrites_once_and_then_no_more() {
    let text = "polepair 1\nsheet a\n  given P=15 kW # plate\n  work x = 2*P/ 3  in kW\n";
    let folder = folder_with("a.pole", text);
    let check = run_in(folder.path(), &["tidy", "a.pole", "--check"]).ends(1);
    assert!(
        check.out.contains("line 3") && check.out.contains("given P=15 kW"),
        "{}",
        check.out
    );
    let file = folder.path().join("a.pole");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), text, "--check writes nothing");
    run_in(folder.path(), &["tidy", "a.pole"]).ends(0);
    let once = std::fs::read_to_string(&file).unwrap();
    assert!(
        once.contains("given P = 15 kW") && once.contains("# plate") && once.contains("2*P/ 3 in kW"),
        "{once}"
    );
    run_in(folder.path(), &["tidy", "a.pole", "--check"]).ends(0);
    run_in(folder.path(), &["tidy", "a.pole"]).ends(0);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), once);
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        1,
        "nothing else stays in the folder"
    );
}

#[test]
fn tidy_keeps_a_faulty_line_letter_by_letter() {
    let text = "polepair 1\nsheet a\n  given P=15 kW\n  work   x  =  2 * (P   # where does it end\n";
    let folder = folder_with("a.pole", text);
    run_in(folder.path(), &["tidy", "a.pole"])
        .ends(2)
        .complains("a.pole:4:");
    let tidied = std::fs::read_to_string(folder.path().join("a.pole")).unwrap();
    assert!(tidied.contains("given P = 15 kW"), "{tidied}");
    assert!(tidied.contains("work   x  =  2 * (P   # where does it end"), "{tidied}");
}
