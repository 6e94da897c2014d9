//! Files built to break a reader, and files that are not what their name says: each an ordinary error, none a panic or a hang.
//!
//! The kinds of files are those known to abort or fill readers that trust what a package promises; each is built here.

use std::path::Path;

use polepair::plates::{Limits, ListError, Options, Trouble, import};

use crate::packages::{BOOK, BOOK_RELS, RELS, TYPES, file, ods, package, sheet, strings, workbook};
use crate::{folder, options};

/// The error of importing these bytes under this name, through the reading process.
fn refused(name: &str, bytes: &[u8]) -> ListError {
    let (_folder, path) = file(name, bytes);
    import(&path, &options()).unwrap_err()
}

fn trouble(name: &str, bytes: &[u8]) -> Trouble {
    let error = refused(name, bytes);
    assert!(!error.cause.found.is_empty() && !error.cause.help.is_empty());
    assert!(error.to_string().contains(name), "the message names the file: {error}");
    error.cause.trouble
}

/// Without a reading process, with these limits.
fn here(bytes: &[u8], limits: Limits) -> Trouble {
    let (_folder, path) = file("list.xlsx", bytes);
    let options = Options {
        program: None,
        limits,
        ..Options::default()
    };
    import(&path, &options).unwrap_err().cause.trouble
}

#[test]
fn a_table_of_texts_that_promises_too_many() {
    let bytes = workbook(
        &sheet(r#"<row r="1"><c r="A1" t="s"><v>0</v></c></row>"#),
        &strings(100_000_000_000, "<si><t>a</t></si>"),
    );
    assert!(bytes.len() < 4000);
    assert_eq!(trouble("list.xlsx", &bytes), Trouble::Hostile);
    assert_eq!(here(&bytes, Limits::default()), Trouble::Hostile);
}

#[test]
fn two_cells_at_the_corners_of_the_sheet() {
    let rows = r#"<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>2</v></c></row>"#;
    let error = refused("list.xlsx", &workbook(&sheet(rows), &strings(0, "")));
    assert_eq!(error.cause.trouble, Trouble::NoMotorTable);
    let report = error.report.unwrap();
    assert_eq!((report.sheets[0].name.as_str(), report.sheets[0].filled), ("Motors", 2));
}

#[test]
fn one_long_text() {
    let text = "A".repeat(3 << 20);
    let bytes = workbook(&sheet(""), &strings(1, &format!("<si><t>{text}</t></si>")));
    assert_eq!(trouble("list.xlsx", &bytes), Trouble::Hostile);
}

#[test]
fn blanks_between_tags() {
    let blanks = " ".repeat(3 << 20);
    assert_eq!(
        trouble("list.xlsx", &workbook(&sheet(&blanks), &strings(0, ""))),
        Trouble::Hostile
    );
}

#[test]
fn a_tag_without_end() {
    let tag = format!("<row r=\"1\" a=\"{}\">", "x".repeat(3 << 20));
    assert_eq!(
        trouble("list.xlsx", &workbook(&sheet(&tag), &strings(0, ""))),
        Trouble::Hostile
    );
}

#[test]
fn far_more_inside_than_outside() {
    let rows = "<a/>".repeat(1 << 20);
    let bytes = workbook(&sheet(&rows), &strings(0, ""));
    assert!(bytes.len() < 40_000);
    let limits = Limits {
        ratio_from: 1 << 20,
        ratio: 50,
        ..Limits::default()
    };
    let total = Limits {
        inflated_bytes: 2 << 20,
        ..Limits::default()
    };
    assert_eq!(here(&bytes, limits), Trouble::Hostile);
    assert_eq!(here(&bytes, total), Trouble::Hostile);
}

#[test]
fn the_same_cell_again_and_again() {
    let rows = format!("<row r=\"1\">{}</row>", "<c r=\"A1\"><v>1</v></c>".repeat(3000));
    let limits = Limits {
        visited: 2000,
        ..Limits::default()
    };
    assert_eq!(
        here(&workbook(&sheet(&rows), &strings(0, "")), limits),
        Trouble::TooLarge
    );
}

#[test]
fn more_cells_than_a_list_has() {
    let rows: String = (1..=500)
        .map(|row| format!("<row r=\"{row}\"><c r=\"A{row}\"><v>1</v></c></row>"))
        .collect();
    let limits = Limits {
        cells: 400,
        ..Limits::default()
    };
    assert_eq!(
        here(&workbook(&sheet(&rows), &strings(0, "")), limits),
        Trouble::TooLarge
    );
}

#[test]
fn addresses_no_sheet_has() {
    for rows in [
        r#"<row r="1"><c r="ABCDEFGHIJ1"><v>1</v></c></row>"#,
        r#"<row r="99999999999"><c r="A99999999999"><v>1</v></c></row>"#,
        r#"<row r="1"><c r="A0"><v>1</v></c></row>"#,
        r#"<row r="1"><c r="XFE1"><v>1</v></c></row>"#,
        r#"<row r="1"><c x=">" r="ZZZZZZZ1"><v>1</v></c></row>"#,
    ] {
        assert_eq!(
            trouble("list.xlsx", &workbook(&sheet(rows), &strings(0, ""))),
            Trouble::Hostile,
            "{rows}"
        );
    }
}

#[test]
fn entities() {
    let bomb = r#"<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><sst uniqueCount="1"><si><t>&b;</t></si></sst>"#;
    assert_eq!(trouble("list.xlsx", &workbook(&sheet(""), bomb)), Trouble::Hostile);
    let outside = r#"<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a SYSTEM "file:///etc/passwd">]><sst uniqueCount="1"><si><t>&a;</t></si></sst>"#;
    assert_eq!(trouble("list.xlsx", &workbook(&sheet(""), outside)), Trouble::Hostile);
}

#[test]
fn names_outside_the_package() {
    let bytes = package(&[("../../list.xml", b"<a/>"), ("xl/workbook.xml", BOOK.as_bytes())]);
    assert_eq!(trouble("list.xlsx", &bytes), Trouble::Hostile);
}

#[test]
fn thousands_of_parts() {
    let names: Vec<String> = (0..5000)
        .map(|number| format!("xl/worksheets/sheet{number}.xml"))
        .collect();
    let mut parts: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), b"<a/>".as_slice())).collect();
    parts.push(("xl/workbook.xml", BOOK.as_bytes()));
    assert_eq!(trouble("list.xlsx", &package(&parts)), Trouble::Hostile);
}

#[test]
fn a_dimension_that_lies() {
    let text = format!(
        r#"<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><dimension ref="A1:XFD1048576"/><sheetData>{}</sheetData></worksheet>"#,
        r#"<row r="1"><c r="A1"><v>1</v></c></row>"#
    );
    assert_eq!(
        trouble("list.xlsx", &workbook(&text, &strings(0, ""))),
        Trouble::NoMotorTable
    );
}

#[test]
fn an_ods_of_repeated_cells_is_stopped_in_its_process() {
    let cells =
        r#"<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="16384"/>"#;
    let bytes = ods(&format!(
        r#"<table:table-row table:number-rows-repeated="6000">{cells}</table:table-row>"#
    ));
    let found = trouble("list.ods", &bytes);
    assert!(
        matches!(found, Trouble::Stopped | Trouble::TooLarge),
        "{:?}",
        refused("list.ods", &bytes)
    );
    // Without a reading process the format is not touched at all.
    assert_eq!(here(&bytes, Limits::default()), Trouble::NoReader);
}

#[test]
fn cut_off_and_flipped() {
    let whole = std::fs::read(folder().join("ice-rink-motor-survey.xlsx")).unwrap();
    let cut = refused("list.xlsx", &whole[..whole.len() / 2]);
    assert_eq!(cut.cause.trouble, Trouble::NotReadable);
    assert!(cut.to_string().contains("it is cut short"), "{cut}");
    // Any byte may be wrong: an error or a report, never a panic. In this process, where a panic would fail the test.
    let mut state = 12345u64;
    for _ in 0..40 {
        let mut bytes = whole.clone();
        for _ in 0..3 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let place = (state >> 33) as usize % bytes.len();
            bytes[place] ^= (state >> 20) as u8 | 1;
        }
        let (_folder, path) = file("list.xlsx", &bytes);
        let _ = import(
            &path,
            &Options {
                program: None,
                limits: Limits::default(),
                ..Options::default()
            },
        );
    }
}

#[test]
fn not_what_the_name_says() {
    assert_eq!(
        trouble(
            "list.xls",
            b"<html><body><table><tr><td>kW</td></tr></table></body></html>"
        ),
        Trouble::NotAList
    );
    assert_eq!(trouble("list.xlsx", b"%PDF-1.7 something"), Trouble::NotAList);
    assert_eq!(trouble("list.xlsx", b"\x89PNG\r\n\x1a\n0000"), Trouble::NotAList);
    assert_eq!(trouble("list.csv", b"\x00\x01\x02\x03\x00\x00"), Trouble::NotAList);
    assert_eq!(trouble("list.csv", b""), Trouble::NotAList);
    let workbook = refused("drive.pole", b"polepair 1\n\nsheet a\n  given P = 3 kW\n");
    assert_eq!(workbook.cause.trouble, Trouble::NotAList);
    assert!(
        workbook.to_string().contains("is a workbook, not an equipment list"),
        "{workbook}"
    );
    assert_eq!(
        trouble("list.zip", &package(&[("readme.txt", b"hello")])),
        Trouble::NotAList
    );
    assert_eq!(
        trouble("list.xls", &[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1, 0, 0, 0]),
        Trouble::NotAList
    );
    // A text under the name of a workbook is still a list, and the report says so.
    let (_folder, path) = file("list.xlsx", b"Tag,kW,RPM,FLA\nP-1,5.5,1455,10.9\nP-2,7.5,1460,14.6\n");
    let import = import(&path, &options()).unwrap();
    assert_eq!(import.report.computed.len(), 2);
    assert!(
        import
            .report
            .remarks
            .iter()
            .any(|remark| remark.contains(".xlsx") && remark.contains("csv"))
    );
}

#[test]
fn locked_files() {
    let mut bytes = vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];
    bytes.extend([0; 600]);
    bytes.extend("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes));
    assert_eq!(trouble("list.xlsx", &bytes), Trouble::Encrypted);
}

#[test]
fn broken_old_workbook() {
    let mut bytes = vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];
    bytes.extend([0xFF; 2000]);
    bytes.extend("Workbook".encode_utf16().flat_map(u16::to_le_bytes));
    let found = trouble("list.xls", &bytes);
    assert!(matches!(found, Trouble::NotReadable | Trouble::Stopped), "{found:?}");
}

#[test]
fn files_that_are_not_there() {
    let gone = import(Path::new("no/such/list.xlsx"), &options()).unwrap_err();
    assert_eq!(gone.cause.trouble, Trouble::Missing);
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(
        import(folder.path(), &options()).unwrap_err().cause.trouble,
        Trouble::NotReadable
    );
}

#[test]
fn larger_than_the_limit() {
    let (_folder, path) = file("list.csv", &[b'a'; 3000]);
    let limits = Limits {
        file_bytes: 2000,
        ..Limits::default()
    };
    let error = import(
        &path,
        &Options {
            program: None,
            limits,
            ..Options::default()
        },
    )
    .unwrap_err();
    assert_eq!(error.cause.trouble, Trouble::TooLarge);
}

#[test]
fn the_reading_process_itself() {
    let list = folder().join("ice-rink-motor-survey.xlsx");
    let by = |program: &Path, seconds: u64| {
        import(
            &list,
            &Options {
                program: Some(program.to_path_buf()),
                limits: Limits {
                    seconds,
                    ..Limits::default()
                },
                ..Options::default()
            },
        )
        .unwrap_err()
        .cause
        .trouble
    };
    assert_eq!(by(Path::new("/no/such/program"), 5), Trouble::NoReader);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let script = |name: &str, text: &str| {
            let path = folder.path().join(name);
            std::fs::write(&path, text).unwrap();
            std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o755)).unwrap();
            path
        };
        assert_eq!(by(&script("silent", "#!/bin/sh\nexit 0\n"), 5), Trouble::NoReader);
        assert_eq!(by(&script("failing", "#!/bin/sh\nexit 7\n"), 5), Trouble::Stopped);
        assert_eq!(by(&script("slow", "#!/bin/sh\nexec sleep 30\n"), 1), Trouble::Stopped);
        let chatty = "#!/bin/sh\nhead -c 300000 /dev/zero\n";
        assert_eq!(by(&script("chatty", chatty), 5), Trouble::NoReader);
        assert_eq!(by(&script("killed", "#!/bin/sh\nkill -ABRT $$\n"), 5), Trouble::Stopped);
    }
}

#[test]
fn the_same_in_both_processes() {
    let list = folder().join("brickworks-motor-list.xlsx");
    let child = import(&list, &options()).unwrap();
    let here = import(&list, &Options::default()).unwrap();
    assert_eq!(
        serde_json::to_string(&child.report).unwrap(),
        serde_json::to_string(&here.report).unwrap()
    );
}

/// More cells than are handed over at once, in two sheets: nothing is lost or moved where the parts meet.
#[test]
fn a_long_list_comes_over_in_parts() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.xlsx");
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, rows) in [("short", 3u32), ("long", 2500)] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        for (column, heading) in ["Tag", "kW", "RPM", "Volts", "FLA (A)", "Poles", "Remarks"]
            .iter()
            .enumerate()
        {
            sheet.write(0, column as u16, *heading).unwrap();
        }
        for row in 0..rows {
            sheet.write(row + 1, 0, format!("M-{row}")).unwrap();
            for (column, number) in [
                (1, 11.0),
                (2, 1460.0 + f64::from(row % 9)),
                (3, 400.0),
                (4, 21.0),
                (5, 4.0),
            ] {
                sheet.write(row + 1, column, number).unwrap();
            }
            sheet.write(row + 1, 6, format!("place {row}")).unwrap();
        }
    }
    book.save(&path).unwrap();
    let child = import(&path, &options()).unwrap();
    let here = import(&path, &Options::default()).unwrap();
    assert_eq!(child.report.computed.len(), 2500);
    assert_eq!(
        serde_json::to_string(&child.report).unwrap(),
        serde_json::to_string(&here.report).unwrap()
    );
}

#[test]
fn a_list_of_something_else() {
    let error = refused(
        "list.csv",
        b"Date;Invoice;Customer;Sum\n2026-01-02;17;Kettle & Sons;120,50\n2026-01-09;18;Lark;99,00\n",
    );
    assert_eq!(error.cause.trouble, Trouble::NoMotorTable);
    assert!(error.report.is_some());
    let parts = [
        ("[Content_Types].xml", TYPES.as_bytes()),
        ("_rels/.rels", RELS.as_bytes()),
        ("xl/workbook.xml", BOOK.as_bytes()),
        ("xl/_rels/workbook.xml.rels", BOOK_RELS.as_bytes()),
    ];
    // The sheet the workbook names is not there.
    let found = trouble("list.xlsx", &package(&parts));
    assert!(
        matches!(found, Trouble::NotReadable | Trouble::NoMotorTable),
        "{found:?}"
    );
}
