//! What a list gets beside its load columns when it is given back: number formats, cell notes, a frozen heading, a filter, the report.
//!
//! The sample lists are invented. What is read back is read part by part and by calamine, a reader that is not ours.

use std::io::Read;
use std::path::Path;

use calamine::{Data, Reader, Xlsx, open_workbook};
use polepair::handover::patch::{CellOut, Column, Extras, Note, add_columns_and};
use polepair::plates::pages::Page;

use crate::packages;

fn part(path: &Path, name: &str) -> Option<String> {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(path).unwrap()).unwrap();
    let mut text = String::new();
    archive.by_name(name).ok()?.read_to_string(&mut text).unwrap();
    Some(text)
}

fn columns() -> Vec<Column> {
    vec![
        Column {
            heading: "Load (%)".to_owned(),
            cells: vec![(2, CellOut::Number(62.857)), (3, CellOut::Number(71.0))],
        },
        Column {
            heading: "Doubts".to_owned(),
            cells: vec![(3, CellOut::Text("look <here> & there".to_owned()))],
        },
    ]
}

fn pages() -> Vec<Page> {
    vec![Page {
        title: "Doubts",
        headings: vec!["row", "what was found"],
        rows: vec![vec!["3".to_owned(), "=HYPERLINK(1) & <b>".to_owned()]],
    }]
}

fn extras(pages: &[Page]) -> Extras<'_> {
    Extras {
        formats: vec![Some("0.00\" %\"".to_owned()), None],
        notes: vec![Note {
            row: 3,
            column: 2,
            text: "near 1.73: \u{221a}3 <phase>".to_owned(),
        }],
        freeze: true,
        pages,
        sheets: Vec::new(),
        again: None,
    }
}

/// A list written by a library, with a second sheet, and given back.
fn given_back(
    prepare: impl FnOnce(&mut rust_xlsxwriter::Worksheet),
) -> (tempfile::TempDir, std::path::PathBuf, std::path::PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let (source, target) = (folder.path().join("list.xlsx"), folder.path().join("out.xlsx"));
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Motors").unwrap();
    let money = rust_xlsxwriter::Format::new().set_num_format("#,##0.00 \"kW\"");
    for (row, line) in [["Tag", "kW"], ["P-1", "15"], ["P-2", "22"]].iter().enumerate() {
        for (column, text) in line.iter().enumerate() {
            let (row, column) = (row as u32, column as u16);
            match text.parse::<f64>() {
                Ok(number) => sheet.write_number_with_format(row, column, number, &money).unwrap(),
                Err(_) => sheet.write_string(row, column, *text).unwrap(),
            };
        }
    }
    prepare(sheet);
    book.add_worksheet().set_name("Import report").unwrap();
    book.save(&source).unwrap();
    let pages = pages();
    add_columns_and(&source, &target, "Motors", 1, &columns(), &extras(&pages)).unwrap();
    (folder, source, target)
}

#[test]
fn formats_notes_frozen_heading_filter_and_report() {
    let (_folder, source, target) = given_back(|_| {});
    let sheet = part(&target, "xl/worksheets/sheet1.xml").unwrap();
    assert!(
        sheet.contains("<pane ySplit=\"1\" topLeftCell=\"A2\" activePane=\"bottomLeft\" state=\"frozen\"/>"),
        "{sheet}"
    );
    assert!(sheet.contains("<autoFilter ref=\"A1:D3\"/>"), "{sheet}");
    // The order of elements in a sheet is fixed by the standard (ECMA-376 part 1, 18.3.1.99).
    let at = |what: &str| sheet.find(what).unwrap_or_else(|| panic!("{what} in {sheet}"));
    assert!(at("<sheetViews") < at("<cols") && at("</sheetData>") < at("<autoFilter"));
    assert!(at("<autoFilter") < at("<pageMargins") && at("<pageMargins") < at("<legacyDrawing"));
    // The number format is one of the styles now, and the load has it.
    let styles = part(&target, "xl/styles.xml").unwrap();
    assert!(styles.contains("formatCode=\"0.00&quot; %&quot;\""), "{styles}");
    let xfs = styles
        .split("<cellXfs")
        .nth(1)
        .unwrap()
        .split("</cellXfs>")
        .next()
        .unwrap();
    let count: usize = xfs
        .split("count=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    assert_eq!(xfs.matches("<xf ").count(), count);
    assert!(
        sheet.contains(&format!("<c r=\"C2\" s=\"{}\"><v>62.857</v></c>", count - 3)),
        "{sheet}"
    );
    // The report has bold headings and broken lines: the two styles behind that of the number.
    let (bold, wrapped) = (count - 2, count - 1);
    let last: Vec<&str> = xfs.split("<xf ").collect();
    assert!(last[wrapped + 1].contains("wrapText=\"1\""), "{xfs}");
    let font: usize = last[bold + 1]
        .split("fontId=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    let fonts = styles.split("<fonts").nth(1).unwrap().split("</fonts>").next().unwrap();
    assert!(fonts.split("<font>").nth(font + 1).unwrap().contains("<b/>"), "{fonts}");
    let pages = part(&target, "xl/worksheets/importreport1.xml").unwrap();
    assert!(
        pages.contains(&format!("<c r=\"A1\" s=\"{bold}\" t=\"inlineStr\">")),
        "{pages}"
    );
    assert!(
        pages.contains(&format!("<c r=\"B3\" s=\"{wrapped}\" t=\"inlineStr\">")),
        "{pages}"
    );
    // A filter has a hidden name, behind the list of sheets (ECMA-376 part 1, 18.2.27).
    let book = part(&target, "xl/workbook.xml").unwrap();
    let name = "<definedNames><definedName name=\"_xlnm._FilterDatabase\" localSheetId=\"0\" hidden=\"1\">'Motors'!$A$1:$D$3</definedName></definedNames>";
    assert!(book.contains(name), "{book}");
    assert!(
        book.find("</sheets>").unwrap() < book.find("<definedNames>").unwrap(),
        "{book}"
    );
    // The note.
    let comments = part(&target, "xl/comments1.xml").unwrap();
    assert!(
        comments.contains("ref=\"B3\"") && comments.contains("near 1.73: \u{221a}3 &lt;phase&gt;"),
        "{comments}"
    );
    let drawing = part(&target, "xl/drawings/vmlDrawing1.vml").unwrap();
    assert!(drawing.contains("<x:Row>2</x:Row><x:Column>1</x:Column>"), "{drawing}");
    let links = part(&target, "xl/worksheets/_rels/sheet1.xml.rels").unwrap();
    let id = sheet
        .split("<legacyDrawing")
        .nth(1)
        .unwrap()
        .split("r:id=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    assert!(
        links.contains(&format!("Id=\"{id}\"")) && links.contains("vmlDrawing"),
        "{links}"
    );
    // The report has a sheet of its own, its name unlike the others.
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    assert_eq!(book.sheet_names(), ["Motors", "Import report", "Import report 2"]);
    let report = book.worksheet_range("Import report 2").unwrap();
    assert_eq!(report.get_value((0, 0)), Some(&Data::String("Doubts".to_owned())));
    assert_eq!(
        report.get_value((2, 1)),
        Some(&Data::String("=HYPERLINK(1) & <b>".to_owned()))
    );
    let motors = book.worksheet_range("Motors").unwrap();
    assert_eq!(motors.get_value((2, 1)), Some(&Data::Float(22.0)));
    assert_eq!(motors.get_value((2, 2)), Some(&Data::Float(71.0)));
    // Parts that name what is added only gained; all the rest is as it was.
    let mut before = zip::ZipArchive::new(std::fs::File::open(&source).unwrap()).unwrap();
    let names: Vec<String> = (0..before.len())
        .map(|at| before.by_index(at).unwrap().name().unwrap().into_owned())
        .collect();
    let grows = [
        "xl/styles.xml",
        "xl/workbook.xml",
        "xl/_rels/workbook.xml.rels",
        "[Content_Types].xml",
    ];
    for name in names {
        let (old, new) = (part(&source, &name).unwrap(), part(&target, &name).unwrap());
        if grows.contains(&name.as_str()) {
            packages::assert_only_gained(&old, &new);
        } else if name != "xl/worksheets/sheet1.xml" {
            assert_eq!(old, new, "{name}");
        }
    }
}

#[test]
fn what_the_sheet_has_of_its_own_stays() {
    let (_folder, _, target) = given_back(|sheet| {
        sheet.set_freeze_panes(1, 1).unwrap();
        sheet.autofilter(0, 0, 2, 1).unwrap();
        sheet.insert_note(1, 0, &rust_xlsxwriter::Note::new("theirs")).unwrap();
    });
    let sheet = part(&target, "xl/worksheets/sheet1.xml").unwrap();
    assert_eq!(sheet.matches("<pane ").count(), 1, "{sheet}");
    assert!(sheet.contains("topLeftCell=\"B2\""), "{sheet}");
    // Their filter stands on the heading, so it reaches over the new columns too.
    assert_eq!(sheet.matches("<autoFilter").count(), 1, "{sheet}");
    assert!(sheet.contains("<autoFilter ref=\"A1:D3\""), "{sheet}");
    assert!(part(&target, "xl/comments1.xml").unwrap().contains("theirs"));
    assert!(part(&target, "xl/comments2.xml").is_none());
    assert_eq!(sheet.matches("<legacyDrawing").count(), 1);
}

/// A cell note of theirs stays word for word; ours stands behind it or on its own cell, and every other part of theirs too.
#[test]
fn notes_of_the_sheet_stay_beside_ours() {
    for on_our_cell in [false, true] {
        let at = if on_our_cell { (2, 1) } else { (1, 0) };
        let (_folder, source, target) = given_back(|sheet| {
            let note = rust_xlsxwriter::Note::new("theirs & kept").set_author("A. Fitter");
            sheet.insert_note(at.0, at.1, &note).unwrap();
        });
        let comments = part(&target, "xl/comments1.xml").unwrap();
        packages::assert_only_gained(&part(&source, "xl/comments1.xml").unwrap(), &comments);
        let shapes = part(&target, "xl/drawings/vmlDrawing1.vml").unwrap();
        packages::assert_only_gained(&part(&source, "xl/drawings/vmlDrawing1.vml").unwrap(), &shapes);
        assert!(
            comments.contains("theirs &amp; kept") && comments.contains("near 1.73"),
            "{comments}"
        );
        let notes = if on_our_cell { 1 } else { 2 };
        assert_eq!(comments.matches("<comment ").count(), notes, "{comments}");
        // A box for each note, each with a number of its own.
        assert_eq!(shapes.matches("<v:shape ").count(), notes, "{shapes}");
        let ids: std::collections::HashSet<&str> = shapes
            .split("id=\"_x0000_s")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap())
            .collect();
        assert_eq!(ids.len(), notes, "{shapes}");
        if on_our_cell {
            let text = comments
                .split("ref=\"B3\"")
                .nth(1)
                .unwrap()
                .split("</comment>")
                .next()
                .unwrap();
            assert!(text.find("theirs").unwrap() < text.find("near 1.73").unwrap(), "{text}");
        } else {
            // The author is the third of the list: the writer of notes, theirs, ours.
            let authors = comments.matches("<author>").count();
            assert!(
                comments.contains(&format!("<comment ref=\"B3\" authorId=\"{}\"", authors - 1)),
                "{comments}"
            );
        }
        assert!(part(&target, "xl/comments2.xml").is_none());
    }
}

#[test]
fn a_package_made_by_hand_gets_it_too() {
    let folder = tempfile::tempdir().unwrap();
    let (source, target) = (folder.path().join("list.xlsx"), folder.path().join("out.xlsx"));
    // Names with a prefix in the list of sheets, parts in folders of their own, no views, a table link at the end.
    let sheet = format!(
        "<worksheet xmlns=\"{}\"><sheetFormatPr defaultRowHeight=\"15\"/><sheetData><row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>Tag</t></is></c></row><row r=\"2\"><c r=\"A2\"><v>1</v></c></row></sheetData><sheetProtection sheet=\"1\"/><mergeCells count=\"1\"><mergeCell ref=\"A8:B8\"/></mergeCells><extLst/></worksheet>",
        packages::MAIN
    );
    std::fs::write(&source, packages::package(&sheet, &[])).unwrap();
    let pages = pages();
    add_columns_and(&source, &target, "Motors", 1, &columns(), &extras(&pages)).unwrap();
    let sheet = part(&target, "book/pages/second.xml").unwrap();
    let at = |what: &str| sheet.find(what).unwrap_or_else(|| panic!("{what} in {sheet}"));
    assert!(at("<sheetViews>") < at("<sheetFormatPr") && at("<sheetProtection") < at("<autoFilter"));
    assert!(
        at("<autoFilter") < at("<mergeCells")
            && at("</mergeCells>") < at("<legacyDrawing")
            && at("<legacyDrawing") < at("<extLst")
    );
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    assert_eq!(book.sheet_names(), ["Cover & notes", "Motors", "Import report"]);
    assert_eq!(
        book.worksheet_range("Motors").unwrap().get_value((1, 0)),
        Some(&Data::Float(1.0))
    );
}

/// Given back again: notes of ours of the earlier time go, those of theirs stay.
#[test]
fn notes_of_an_earlier_time_go() {
    for on_our_cell in [None, Some(false), Some(true)] {
        let (folder, _, first) = given_back(|sheet| {
            if let Some(on_ours) = on_our_cell {
                let at = if on_ours { (2, 1) } else { (1, 0) };
                let note = rust_xlsxwriter::Note::new("theirs & kept").set_author("A. Fitter");
                sheet.insert_note(at.0, at.1, &note).unwrap();
            }
        });
        let theirs = usize::from(on_our_cell.is_some());
        for (notes, name) in [
            (vec![], "none.xlsx"),
            (vec![(3, 2, "still near 1.73")], "same.xlsx"),
            (vec![(2, 2, "another one"), (3, 1, "and one")], "others.xlsx"),
        ] {
            let again = folder.path().join(name);
            let pages = pages();
            let extras = Extras {
                notes: notes
                    .iter()
                    .map(|(row, column, text)| Note {
                        row: *row,
                        column: *column,
                        text: (*text).to_owned(),
                    })
                    .collect(),
                ..extras(&pages)
            };
            add_columns_and(&first, &again, "Motors", 1, &columns(), &extras).unwrap();
            let comments = part(&again, "xl/comments1.xml").unwrap();
            let shapes = part(&again, "xl/drawings/vmlDrawing1.vml").unwrap();
            assert!(!comments.contains("near 1.73: "), "{comments}");
            assert_eq!(comments.matches("theirs &amp; kept").count(), theirs, "{comments}");
            for (.., text) in &notes {
                assert_eq!(comments.matches(text).count(), 1, "{comments}");
            }
            let shared = on_our_cell == Some(true) && name == "same.xlsx";
            let count = theirs + notes.len() - usize::from(shared);
            assert_eq!(
                comments.matches("<comment ").count(),
                count,
                "{name} {on_our_cell:?} {comments}"
            );
            assert_eq!(
                shapes.matches("<v:shape ").count(),
                count,
                "{name} {on_our_cell:?} {shapes}"
            );
            assert!(comments.matches(">polepair<").count() <= 1, "{comments}");
        }
    }
}
