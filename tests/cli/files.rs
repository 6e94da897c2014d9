//! Files that are not what they should be: each an error in words, with status 3, or faults with status 2.

use super::{folder_with, run, run_in};

fn work(name: &str, content: impl AsRef<[u8]>) -> super::Ran {
    let folder = folder_with(name, content);
    run_in(folder.path(), &["work", name])
}

#[test]
fn what_is_no_workbook_is_3() {
    let folder = folder_with("brine.pole", "polepair 1\n");
    run_in(folder.path(), &["work", "brien.pole"])
        .ends(3)
        .silent()
        .complains("no such file")
        .complains("brine.pole");
    run_in(folder.path(), &["work", "brien.pole", "--json"])
        .ends(3)
        .silent();
    run_in(folder.path(), &["work", "."])
        .ends(3)
        .silent()
        .complains("folder");
    work("a.pole", "").ends(3).silent().complains("empty");
    work("a.pole", b"\x00\x01\x02\xff")
        .ends(3)
        .silent()
        .complains("not a text file");
    work("a.pole", b"PK\x03\x04").ends(3).silent().complains("import");
    work("a.pole", b"polepair 1\nnote \"\xff\"\n")
        .ends(3)
        .silent()
        .complains("line 2");
    work("a.pole", "Tag;kW;rpm\n")
        .ends(3)
        .silent()
        .complains("not a workbook");
    for command in ["tidy", "work"] {
        run(&[command, "nowhere/at/all.pole"])
            .ends(3)
            .silent()
            .complains("cannot read");
    }
    run(&["export", "nowhere.pole", "--to", "x.csv"]).ends(3).silent();
}

#[test]
fn faults_are_2_and_the_rest_is_worked() {
    let text = "polepair 1\nsheet a\n  given P = 15 kW\n  work x = 2 * Q in kW\n  work y = 3 * P in kW\nsheet b\n  work z = 1 kW + 2 kW\n";
    let ran = work("a.pole", text)
        .ends(2)
        .says("45")
        .says("a.pole:4:")
        .says("━")
        .says("Q");
    assert_eq!(ran.err, "");
    let folder = folder_with("a.pole", text);
    let json = run_in(folder.path(), &["work", "a.pole", "--json"]).ends(2).json();
    assert_eq!(json["faults"][0]["line"], 4);
    assert_eq!(json["faults"][0]["severity"], "error");
    assert_eq!(json["sheets"][1]["quantities"][0]["cells"][0]["value"], "3");
}

#[test]
fn a_check_that_does_not_hold_is_1() {
    let text = "polepair 1\nsheet a\n  given P = 15 kW\n  check P >= 20 kW \"enough\"\n";
    work("a.pole", text).ends(1).says("✗").says("enough").says("20 kW");
    // Faults weigh more than a check.
    work("a.pole", format!("{text}  work x = Q\n")).ends(2);
    // A check that cannot be worked for want of data changes nothing.
    let open = "polepair 1\nsheet a\n  given P in kW\n  check P >= 20 kW \"enough\"\n";
    work("a.pole", open).ends(0).says("?").says("not worked");
}

#[test]
fn texts_built_to_break_a_reader_end_in_order() {
    work(
        "a.pole",
        format!("polepair 1\nsheet a\n  work x = {}1\n", "(".repeat(100_000)),
    )
    .ends(2)
    .says("too-long");
    work(
        "a.pole",
        format!("polepair 1\nsheet a\n  work x = 1{}\n", " + 1".repeat(250_000)),
    )
    .ends(2);
    work(
        "a.pole",
        format!("polepair 1\nsheet a\n  work x = 2{}\n", "^2".repeat(50_000)),
    )
    .ends(2);
    work("a.pole", format!("polepair 1\nnote \"{}\n", "x".repeat(1_000_000))).ends(2);
    work("a.pole", "polepair 1\nsheet a\n  work x = y\n  work y = x\n")
        .ends(2)
        .says("x");
    work("a.pole", "polepair 1\nsheet a\n  given f = 50 Hz\n  given f = 60 Hz\n")
        .ends(2)
        .says("f");
    work("a.pole", "polepair 1\nsheet a\n  work x = 1 kW / 0\n").ends(2);
    work("a.pole", "polepair 1\nsheet a\n  work x = 1e28 * 1e28\n").ends(2);
    work("a.pole", "polepair 1\nsheet a\n  work x = 1e-28 * 1e-28\n").ends(2);
    work("a.pole", "polepair 1\nsheet a\n  work x = 15 kv\n")
        .ends(2)
        .says("kV");
    work("a.pole", "polepair 1\nsheet a\n  work x = kW\n").ends(2);
    work("a.pole", "polepair 1\r\nsheet a\r\n  work x = 1 kW + 2 kW\r\n")
        .ends(0)
        .says("3");
}

#[test]
fn a_target_that_cannot_be_written_is_3_and_the_old_stays() {
    let text = "polepair 1\nsheet a\n  given P=15 kW\n";
    let folder = folder_with("a.pole", text);
    let file = folder.path().join("a.pole");
    let mut mode = std::fs::metadata(&file).unwrap().permissions();
    mode.set_readonly(true);
    std::fs::set_permissions(&file, mode).unwrap();
    run_in(folder.path(), &["tidy", "a.pole"])
        .ends(3)
        .silent()
        .complains("read-only");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), text);
    run_in(folder.path(), &["export", "a.pole", "--to", "nowhere/a.csv"])
        .ends(3)
        .silent()
        .complains("nowhere");
    run_in(folder.path(), &["export", "a.pole", "--to", "a.doc"])
        .ends(64)
        .silent()
        .complains(".csv");
}

#[cfg(unix)]
#[test]
fn a_reader_that_goes_away_is_no_fault() {
    use std::process::{Command, Stdio};
    let mut list =
        "polepair 1\nlist a\n  given tag : text\n  given P in kW\n  work Q = 2 * P\n  rows tag | P\n".to_owned();
    for row in 0..20_000 {
        list.push_str(&format!("    \"M-{row}\" | {row} kW\n"));
    }
    let folder = folder_with("a.pole", list);
    let mut child = Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(["work", "a.pole", "--json"])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}
