//! Columns added to a workbook package.

use std::fs;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx, open_workbook};
use polepair::handover::ExportError;
use polepair::handover::patch::{CellOut, Column, Done, add_columns, add_columns_in_place};
use tempfile::TempDir;

use crate::packages::{MAIN, assert_only_changed, package, part};

fn number(heading: &str, cells: &[(u32, f64)]) -> Column {
    Column {
        heading: heading.to_owned(),
        cells: cells
            .iter()
            .map(|(row, value)| (*row, CellOut::Number(*value)))
            .collect(),
    }
}

fn text(heading: &str, cells: &[(u32, &str)]) -> Column {
    Column {
        heading: heading.to_owned(),
        cells: cells
            .iter()
            .map(|(row, value)| (*row, CellOut::Text((*value).to_owned())))
            .collect(),
    }
}

/// Adds columns to a hand-made sheet and gives the sheet's new XML without head and tail.
fn patched(sheet: &str, further: &[(&str, &str)], heading_row: u32, columns: &[Column]) -> Result<String, ExportError> {
    let folder = TempDir::new().unwrap();
    let (source, target) = (folder.path().join("list.xlsx"), folder.path().join("out.xlsx"));
    fs::write(&source, package(sheet, further)).unwrap();
    add_columns(&source, &target, "Motors", heading_row, columns)?;
    assert_only_changed(&source, &target, "book/pages/second.xml");
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    book.worksheet_range("Motors").unwrap();
    Ok(part(&target, "book/pages/second.xml"))
}

fn sheet(inner: &str) -> String {
    format!(r#"<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="{MAIN}">{inner}</worksheet>"#)
}

const WIDTHS: &str = r#"<col min="3" max="3" width="12" customWidth="1"/>"#;

#[test]
fn plain_rows_get_their_cells_and_nothing_else_changes() {
    let before = sheet(concat!(
        r#"<dimension ref="A1:B3"/><sheetFormatPr defaultRowHeight="15"/><sheetData>"#,
        r#"<row r="1" spans="1:2"><c r="A1" s="1" t="str"><v>P</v></c><c r="B1" s="2" t="str"><v>kW</v></c></row>"#,
        "\n  <!-- kept -->\n",
        r#"<row r="2" spans="1:2" ht="30"><c r="A2"><v>15</v></c><c r="B2"><f>A2*2</f><v>30</v></c></row>"#,
        r#"<row r="3"><c r='A3'><v>7.50</v></c ></row >"#,
        r#"</sheetData><autoFilter ref="A1:B3"/><pageMargins left="0.7"/>"#,
    ));
    let after = patched(&before, &[], 1, &[number("n [r/min]", &[(2, 1500.0), (3, 0.1 + 0.2)])]).unwrap();
    let expected = sheet(&format!(
        "{}{WIDTHS}{}\n  <!-- kept -->\n{}{}{}",
        r#"<dimension ref="A1:C3"/><sheetFormatPr defaultRowHeight="15"/><cols>"#,
        concat!(
            r#"</cols><sheetData><row r="1" spans="1:3"><c r="A1" s="1" t="str"><v>P</v></c><c r="B1" s="2" t="str"><v>kW</v></c>"#,
            r#"<c r="C1" s="2" t="inlineStr"><is><t xml:space="preserve">n [r/min]</t></is></c></row>"#
        ),
        concat!(
            r#"<row r="2" spans="1:3" ht="30"><c r="A2"><v>15</v></c><c r="B2"><f>A2*2</f><v>30</v></c>"#,
            r#"<c r="C2"><v>1500</v></c></row>"#
        ),
        r#"<row r="3"><c r='A3'><v>7.50</v></c ><c r="C3"><v>0.3</v></c></row >"#,
        r#"</sheetData><autoFilter ref="A1:B3"/><pageMargins left="0.7"/>"#,
    ));
    assert_eq!(after, expected);
}

#[test]
fn rows_that_are_missing_empty_or_short_hand() {
    let before = sheet(concat!(
        r#"<sheetData><row r="2"><c r="A2"><v>1</v></c></row><row r="4"/><row r="5"></row>"#,
        r#"<row r="9"><c r="B9"><v>2</v></c></row></sheetData>"#
    ));
    let columns = [number("x", &[(4, 4.0), (5, 5.0), (7, 7.0), (9, 9.0), (11, 11.0)])];
    let after = patched(&before, &[], 1, &columns).unwrap();
    let cell = |row: u32| format!(r#"<c r="C{row}"><v>{row}</v></c>"#);
    let expected = sheet(&format!(
        r#"<cols>{WIDTHS}</cols><sheetData><row r="1"><c r="C1" t="inlineStr"><is><t xml:space="preserve">x</t></is></c></row><row r="2"><c r="A2"><v>1</v></c></row><row r="4">{}</row><row r="5">{}</row><row r="7">{}</row><row r="9"><c r="B9"><v>2</v></c>{}</row><row r="11">{}</row></sheetData>"#,
        cell(4),
        cell(5),
        cell(7),
        cell(9),
        cell(11)
    ));
    assert_eq!(after, expected);
}

#[test]
fn a_sheet_without_any_row() {
    let after = patched(&sheet("<cols/><sheetData />"), &[], 2, &[number("x", &[(3, 1.0)])]).unwrap();
    assert_eq!(
        after,
        sheet(
            r#"<cols><col min="1" max="1" width="12" customWidth="1"/></cols><sheetData><row r="2"><c r="A2" t="inlineStr"><is><t xml:space="preserve">x</t></is></c></row><row r="3"><c r="A3"><v>1</v></c></row></sheetData>"#
        )
    );
}

#[test]
fn rows_and_cells_without_addresses_follow_each_other() {
    let before = sheet(
        r#"<sheetData><row><c><v>1</v></c><c><v>2</v></c></row><row><c/><c t="str"><v>b</v></c></row><row r="5"><c><v>9</v></c></row></sheetData>"#,
    );
    let after = patched(&before, &[], 1, &[number("x", &[(2, 22.0), (5, 55.0)])]).unwrap();
    assert!(
        after.contains(r#"<c t="str"><v>b</v></c><c r="C2"><v>22</v></c></row>"#),
        "{after}"
    );
    assert!(
        after.contains(r#"<row r="5"><c><v>9</v></c><c r="C5"><v>55</v></c></row>"#),
        "{after}"
    );
}

#[test]
fn names_with_a_prefix() {
    let before = format!(
        r#"<x:worksheet xmlns:x="{MAIN}" xmlns:e="urn:e"><x:sheetData><x:row r="1"><x:c r="A1"><x:v>1</x:v></x:c></x:row></x:sheetData><x:extLst><e:row r="1"><e:c r="Q1"><e:v>1</e:v></e:c></e:row></x:extLst></x:worksheet>"#
    );
    let after = patched(&before, &[], 1, &[text("a<b", &[(2, "=1+1")])]).unwrap();
    let expected = before.replace(
        r#"<x:sheetData><x:row r="1"><x:c r="A1"><x:v>1</x:v></x:c></x:row>"#,
        r#"<x:cols><x:col min="2" max="2" width="10" customWidth="1"/></x:cols><x:sheetData><x:row r="1"><x:c r="A1"><x:v>1</x:v></x:c><x:c r="B1" t="inlineStr"><x:is><x:t xml:space="preserve">a&lt;b</x:t></x:is></x:c></x:row><x:row r="2"><x:c r="B2" t="inlineStr"><x:is><x:t xml:space="preserve">=1+1</x:t></x:is></x:c></x:row>"#,
    );
    assert_eq!(after, expected);
}

#[test]
fn empty_cells_with_a_style_give_way_and_others_keep_their_order() {
    let before = sheet(concat!(
        r#"<sheetData><row r="1"><c r="A1" s="1"><v>1</v></c><c r="B1" s="2"/><c r="C1" s="2"></c><c r="E1" s="2"/></row>"#,
        r#"<row r="2"><c r="A2"/><c r="C2" s="1"></c><c r="D2" s="1"/></row><row r="3"><c r="B3" s="1"/></row></sheetData>"#
    ));
    let after = patched(&before, &[], 1, &[number("x", &[(2, 2.0)]), number("y", &[(2, 3.0)])]).unwrap();
    let heading = |place: &str, text: &str| {
        format!(r#"<c r="{place}" s="1" t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>"#)
    };
    let rows = format!(
        r#"<sheetData><row r="1"><c r="A1" s="1"><v>1</v></c>{}{}<c r="E1" s="2"/></row><row r="2"><c r="A2"/><c r="B2"><v>2</v></c><c r="C2"><v>3</v></c><c r="D2" s="1"/></row><row r="3"><c r="B3" s="1"/></row></sheetData>"#,
        heading("B1", "x"),
        heading("C1", "y")
    );
    assert!(after.contains(&rows), "{after}");
}

#[test]
fn merged_blocks_and_tables_are_kept_clear() {
    let rows =
        r#"<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="2"><c r="A2"><v>1</v></c></row></sheetData>"#;
    let one = [number("x", &[(2, 2.0)])];
    // A block over the heading row to the right: beyond it.
    let after = patched(
        &sheet(&format!(
            r#"{rows}<mergeCells count="2"><mergeCell ref="A1:F1"/><mergeCell ref="A8:Z8"/></mergeCells>"#
        )),
        &[],
        1,
        &one,
    )
    .unwrap();
    assert!(after.contains(r#"<c r="G2"><v>2</v></c>"#), "{after}");
    // A table whose last column is still empty.
    let links = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let table = sheet(&format!(
        r#"{rows}<tableParts count="1"><tablePart xmlns:r="{links}" r:id="rId1"/></tableParts>"#
    ));
    let further = [
        (
            "book/pages/_rels/second.xml.rels",
            format!(
                r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{links}/table" Target="../tables/one.xml"/></Relationships>"#
            ),
        ),
        (
            "book/tables/one.xml",
            format!(
                r#"<table xmlns="{MAIN}" id="1" name="t" displayName="t" ref="A1:D2" headerRowCount="0"><tableColumns count="4"><tableColumn id="1" name="a"/><tableColumn id="2" name="b"/><tableColumn id="3" name="c"/><tableColumn id="4" name="d"/></tableColumns></table>"#
            ),
        ),
    ];
    let further: Vec<(&str, &str)> = further.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let after = patched(&table, &further, 1, &one).unwrap();
    assert!(after.contains(r#"<c r="E2"><v>2</v></c>"#), "{after}");
}

#[test]
fn hidden_columns_to_the_right_do_not_hide_ours() {
    let before = sheet(concat!(
        r#"<cols><col min="1" max="1" width="9"/><col min="2" max="16384" width='5' hidden="1" style="2"></col></cols>"#,
        r#"<sheetData><row r="1"><c r="B1"><v>1</v></c></row></sheetData>"#
    ));
    let after = patched(
        &before,
        &[],
        1,
        &[
            number("x", &[]),
            text("remarks", &[(2, "a text of some length, for the width")]),
        ],
    );
    let expected = concat!(
        r#"<cols><col min="1" max="1" width="9"/><col min="2" max="2" width="5" hidden="1" style="2"/>"#,
        r#"<col min="3" max="3" width="10" customWidth="1"/>"#,
        r#"<col min="4" max="4" width="38" customWidth="1"/><col min="5" max="16384" width="5" hidden="1" style="2"/></cols>"#
    );
    let after = after.unwrap();
    assert!(after.contains(expected), "{after}");
}

#[test]
fn texts_that_xml_cannot_hold_and_numbers_of_any_size() {
    let before = sheet(r#"<sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData>"#);
    let texts = [(2, "bell \u{7} and <&>"), (3, "_x0041_ is no A"), (4, "two\nlines")];
    let numbers = [(2, 1.0 / 3.0), (3, -2.5e-9), (4, 6.02214076e23), (5, 0.0)];
    let folder = TempDir::new().unwrap();
    let (source, target) = (folder.path().join("list.xlsx"), folder.path().join("out.xlsx"));
    fs::write(&source, package(&before, &[])).unwrap();
    add_columns(
        &source,
        &target,
        "Motors",
        1,
        &[text("t", &texts), number("n", &numbers)],
    )
    .unwrap();
    let xml = part(&target, "book/pages/second.xml");
    assert!(xml.contains("bell _x0007_ and &lt;&amp;&gt;"), "{xml}");
    assert!(xml.contains("_x005F_x0041_ is no A"), "{xml}");
    assert!(xml.contains("<v>0.333333333333333</v>"), "{xml}");
    assert!(xml.contains("<v>-2.5E-9</v>"), "{xml}");
    assert!(xml.contains("<v>6.02214076E23</v>"), "{xml}");
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    let range = book.worksheet_range("Motors").unwrap();
    assert_eq!(range.get_value((3, 1)), Some(&Data::String("two\nlines".into())));
    assert_eq!(range.get_value((2, 2)), Some(&Data::Float(-2.5e-9)));
    assert_eq!(range.get_value((3, 2)), Some(&Data::Float(6.02214076e23)));
    assert_eq!(range.get_value((4, 2)), Some(&Data::Float(0.0)));
}

/// A text longer than a cell may be is cut and marked; the limit counts UTF-16 units.
#[test]
fn long_texts_are_cut() {
    let before = sheet(r#"<sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData>"#);
    let long = "Ω".repeat(40_000);
    let after = patched(&before, &[], 1, &[text("t", &[(2, &long)])]).unwrap();
    assert_eq!(after.matches('Ω').count(), 32_766);
    assert!(after.contains("Ω…</t>"));
}

#[test]
fn what_cannot_be_patched_is_said_and_nothing_is_written() {
    let one = [number("x", &[(2, 2.0)])];
    let found = |sheet: &str| match patched(sheet, &[], 1, &one) {
        Err(error) => error.to_string(),
        Ok(after) => panic!("accepted: {after}"),
    };
    let chart = format!(r#"<chartsheet xmlns="{MAIN}"><sheetViews/></chartsheet>"#);
    assert!(found(&chart).contains("chartsheet"));
    assert!(found(&sheet("<sheetData><row r=\"1\"><c r=\"A1\"></row></sheetData>")).contains("XML"));
    assert!(
        found(&sheet(
            r#"<sheetData><row r="1"><c r="A2"><v>1</v></c></row></sheetData>"#
        ))
        .contains("\"A2\"")
    );
    assert!(found(&sheet(r#"<sheetData><row r="1048577"/></sheetData>"#)).contains("row"));
    assert!(found(&sheet("<sheetViews/>")).contains("no rows"));
    assert!(found(&format!("<!DOCTYPE x [<!ENTITY a 'b'>]>{}", sheet("<sheetData/>"))).contains("document type"));
    let latin = sheet("<sheetData/>").replace("UTF-8", "ISO-8859-1");
    assert!(found(&latin).contains("ISO-8859-1"));
    let far = sheet(r#"<sheetData><row r="1"><c r="XFD1"><v>1</v></c></row></sheetData>"#);
    assert!(found(&far).contains("no room"));
    let cut = sheet("<sheetData><row r=\"1\"/>").replace("</worksheet>", "");
    assert!(found(&cut).contains("too early"));

    let folder = TempDir::new().unwrap();
    let source = folder.path().join("list.xlsx");
    let target = folder.path().join("out.xlsx");
    fs::write(&target, "older").unwrap();
    fs::write(&source, "tag;kW\n").unwrap();
    let error = add_columns(&source, &target, "Motors", 1, &one).unwrap_err();
    assert!(error.to_string().contains("no workbook package"), "{error}");
    fs::write(&source, package(&far, &[])).unwrap();
    add_columns(&source, &target, "Motors", 1, &one).unwrap_err();
    let error = add_columns(&source, &target, "Motor", 1, &one).unwrap_err();
    assert!(error.help().contains("Cover & notes, Motors"), "{}", error.help());
    assert!(matches!(
        add_columns(&source, &source, "Motors", 1, &one),
        Err(ExportError::SourceIsTarget(_))
    ));
    let error = add_columns(&folder.path().join("gone.xlsx"), &target, "Motors", 1, &one).unwrap_err();
    assert!(error.to_string().contains("gone.xlsx"), "{error}");
    let nowhere = folder.path().join("no/folder/out.xlsx");
    fs::write(&source, package(&sheet("<sheetData/>"), &[])).unwrap();
    assert!(matches!(
        add_columns(&source, &nowhere, "Motors", 1, &one),
        Err(ExportError::File { .. })
    ));
    // The target is as it was, and no scrap lies beside it.
    assert_eq!(fs::read_to_string(&target).unwrap(), "older");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn a_signature_is_told_and_a_file_is_changed_in_place_only_when_asked() {
    let folder = TempDir::new().unwrap();
    let source = folder.path().join("list.xlsx");
    let rows = sheet(r#"<sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData>"#);
    fs::write(&source, package(&rows, &[("_xmlsignatures/origin.sigs", "")])).unwrap();
    let done: Done = add_columns_in_place(&source, "Motors", 1, &[number("x", &[(2, 2.0)])]).unwrap();
    assert!(done.notes[0].contains("signature"));
    assert_eq!((done.first.as_str(), done.last.as_str(), done.rows), ("B", "B", 1));
    assert!(part(&source, "book/pages/second.xml").contains(r#"<c r="B2"><v>2</v></c>"#));
}

/// A list the way a spreadsheet writer makes it: shared strings, merged title, formulas with stored values, a note, a table,
/// conditional formats, a picture-free drawing part for the note, and the list on the second of three sheets. Invented data.
fn written_list(folder: &Path) -> PathBuf {
    use rust_xlsxwriter::{
        Color, ConditionalFormatCell, ConditionalFormatCellRule, Format, Formula, Note, Table, Workbook,
    };
    let mut book = Workbook::new();
    book.add_worksheet()
        .set_name("Cover")
        .unwrap()
        .write_string(0, 0, "Plant")
        .unwrap();
    let bold = Format::new().set_bold().set_background_color(Color::Silver);
    let list = book.add_worksheet();
    list.set_name("Motor list 2024").unwrap();
    list.merge_range(0, 0, 0, 3, "Motors of the pump house", &bold).unwrap();
    for (column, heading) in ["Tag", "kW", "r/min", "A twice"].iter().enumerate() {
        list.write_string_with_format(2, column as u16, *heading, &bold)
            .unwrap();
    }
    for row in 3..203u32 {
        list.write_string(row, 0, format!("P-{row}")).unwrap();
        list.write_number(row, 1, f64::from(row) / 2.0).unwrap();
        list.write_number(row, 2, 1450.0).unwrap();
        list.write_formula(
            row,
            3,
            Formula::new(format!("=B{}*2", row + 1)).set_result(row.to_string()),
        )
        .unwrap();
    }
    list.autofilter(2, 0, 202, 3).unwrap();
    list.set_freeze_panes(3, 0).unwrap();
    list.set_row_hidden(10).unwrap();
    list.insert_note(5, 1, &Note::new("seen on site")).unwrap();
    let high = ConditionalFormatCell::new()
        .set_rule(ConditionalFormatCellRule::GreaterThan(50))
        .set_format(&bold);
    list.add_conditional_format(3, 1, 202, 1, &high).unwrap();
    let last = book.add_worksheet();
    last.write_string(0, 0, "spare").unwrap();
    last.add_table(2, 0, 6, 2, &Table::new()).unwrap();
    let path = folder.join("list.xlsx");
    book.save(&path).unwrap();
    path
}

#[test]
fn a_written_list_keeps_all_it_had_and_has_the_values_in_the_right_cells() {
    let folder = TempDir::new().unwrap();
    let source = written_list(folder.path());
    let target = folder.path().join("out.xlsx");
    let cells: Vec<(u32, f64)> = (4..=203).map(|row| (row, f64::from(row) / 7.0)).collect();
    let columns = [
        number("load [%]", &cells),
        text("remarks", &[(4, "slip: n is missing"), (203, "=2+2")]),
    ];
    let done = add_columns(&source, &target, "Motor list 2024", 3, &columns).unwrap();
    assert_eq!((done.first.as_str(), done.last.as_str(), done.rows), ("E", "F", 200));
    assert_only_changed(&source, &target, "xl/worksheets/sheet2.xml");

    let mut old: Xlsx<_> = open_workbook(&source).unwrap();
    let mut new: Xlsx<_> = open_workbook(&target).unwrap();
    assert_eq!(old.sheet_names(), new.sheet_names());
    for name in old.sheet_names() {
        let (old_cells, new_cells) = (old.worksheet_range(&name).unwrap(), new.worksheet_range(&name).unwrap());
        for (row, column, value) in old_cells.used_cells() {
            assert_eq!(new_cells.get((row, column)), Some(value), "{name} {row} {column}");
        }
        let (old_formulas, new_formulas) = (
            old.worksheet_formula(&name).unwrap(),
            new.worksheet_formula(&name).unwrap(),
        );
        assert!(old_formulas.used_cells().eq(new_formulas.used_cells()), "{name}");
    }
    let range = new.worksheet_range("Motor list 2024").unwrap();
    let at = |row: u32, column: u32| range.get_value((row, column)).cloned().unwrap_or_default();
    assert_eq!(at(2, 4), Data::String("load [%]".into()));
    assert_eq!(at(2, 5), Data::String("remarks".into()));
    assert_eq!(at(3, 5), Data::String("slip: n is missing".into()));
    assert_eq!(at(202, 5), Data::String("=2+2".into()));
    assert_eq!(at(1, 4), Data::Empty);
    for row in 3..203 {
        let Data::Float(value) = at(row, 4) else {
            panic!("no number in row {row}")
        };
        let expected = f64::from(row + 1) / 7.0;
        assert!((value - expected).abs() <= expected * 1e-14, "{value} {expected}");
    }
}

/// What is added, taken out again, leaves the source: nothing else was touched.
#[test]
fn taking_our_cells_out_again_gives_the_source() {
    let folder = TempDir::new().unwrap();
    let source = written_list(folder.path());
    let target = folder.path().join("out.xlsx");
    let cells: Vec<(u32, f64)> = (4..=203).map(|row| (row, f64::from(row))).collect();
    add_columns(&source, &target, "Motor list 2024", 3, &[number("x", &cells)]).unwrap();
    let mut xml = part(&target, "xl/worksheets/sheet2.xml");
    for row in 3..=203 {
        let start = xml.find(&format!("<c r=\"E{row}\"")).unwrap();
        let end = start + xml[start..].find("</c>").unwrap() + 4;
        xml.replace_range(start..end, "");
    }
    xml = xml.replace(r#"<cols><col min="5" max="5" width="12" customWidth="1"/></cols>"#, "");
    xml = xml
        .replace(r#"spans="1:5""#, r#"spans="1:4""#)
        .replace(r#"ref="A1:E203"/><sheetViews"#, r#"ref="A1:D203"/><sheetViews"#);
    assert_eq!(xml, part(&source, "xl/worksheets/sheet2.xml"));
}
