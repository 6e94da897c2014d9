//! Workbook packages for the tests: made by hand where the dress of the XML matters.

use std::fs::File;
use std::io::{Cursor, Read, Write};
use std::path::Path;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

pub const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const LINKS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const PACKAGE_LINKS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";

/// A package with a cover sheet and the sheet "Motors" made of `sheet`, and further parts as given.
pub fn package(sheet: &str, further: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let deflated = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(zip::DateTime::from_date_and_time(2019, 5, 17, 6, 40, 2).unwrap());
    let stored = deflated.compression_method(CompressionMethod::Stored);
    let mut put = |name: &str, text: &str, options| {
        zip.start_file(name, options).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    };
    put("[Content_Types].xml", &content_types(further), stored);
    put(
        "_rels/.rels",
        &format!(
            r#"<Relationships xmlns="{PACKAGE_LINKS}"><Relationship Id="rId1" Type="{LINKS}/officeDocument" Target="/book/main.xml"/></Relationships>"#
        ),
        deflated,
    );
    put(
        "book/main.xml",
        &format!(
            r#"<?xml version="1.0"?><s:workbook xmlns:s="{MAIN}" xmlns:q="{LINKS}"><s:sheets><s:sheet name="Cover &amp; notes" sheetId="4" q:id="rId7"/><s:sheet name="Motors" sheetId="9" q:id="rId3"/></s:sheets></s:workbook>"#
        ),
        deflated,
    );
    put(
        "book/_rels/main.xml.rels",
        &format!(
            r#"<Relationships xmlns="{PACKAGE_LINKS}"><Relationship Id="rId3" Type="{LINKS}/worksheet" Target="pages/second.xml"/><Relationship Id="rId7" Type="{LINKS}/worksheet" Target="pages/first.xml"/><Relationship Id="rId8" Type="{LINKS}/styles" Target="styles.xml"/></Relationships>"#
        ),
        deflated,
    );
    put(
        "book/pages/first.xml",
        &format!(r#"<worksheet xmlns="{MAIN}"><sheetData/></worksheet>"#),
        deflated,
    );
    put("book/pages/second.xml", sheet, deflated);
    put("book/styles.xml", STYLES, stored);
    for (name, text) in further {
        put(name, text, deflated);
    }
    zip.set_comment("made by hand").unwrap();
    zip.finish().unwrap().into_inner()
}

const STYLES: &str = r#"<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><fonts count="1"><font><sz val="10"/></font></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="3"><xf/><xf/><xf/></cellXfs></styleSheet>"#;

fn content_types(further: &[(&str, &str)]) -> String {
    let kind = |name: &str, kind: &str| {
        format!(
            r#"<Override PartName="/{name}" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.{kind}+xml"/>"#
        )
    };
    let mut text = String::from(
        r#"<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/>"#,
    );
    text += &kind("book/main.xml", "sheet.main");
    text += &kind("book/pages/first.xml", "worksheet");
    text += &kind("book/pages/second.xml", "worksheet");
    text += &kind("book/styles.xml", "styles");
    if further.iter().any(|(name, _)| name.contains("tables")) {
        text += &kind("book/tables/one.xml", "table");
    }
    text + "</Types>"
}

/// All entries of a zip as they lie there: name, method, flags, time, sum, packed bytes.
pub type Entry = (
    String,
    CompressionMethod,
    bool,
    Option<zip::DateTime>,
    u32,
    Option<u32>,
    Vec<u8>,
);

pub fn entries(path: &Path) -> Vec<Entry> {
    let mut archive = ZipArchive::new(File::open(path).unwrap()).unwrap();
    (0..archive.len())
        .map(|at| {
            let mut entry = archive.by_index_raw(at).unwrap();
            let mut packed = Vec::new();
            entry.read_to_end(&mut packed).unwrap();
            (
                entry.name().unwrap().into_owned(),
                entry.compression(),
                entry.encrypted(),
                entry.last_modified(),
                entry.crc32(),
                entry.unix_mode(),
                packed,
            )
        })
        .collect()
}

/// Text of a part.
pub fn part(path: &Path, name: &str) -> String {
    let mut archive = ZipArchive::new(File::open(path).unwrap()).unwrap();
    let mut text = String::new();
    archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

/// Every entry but `changed` is the same in both, byte for byte and in the same order, and the comments too; the styles may have
/// gained number formats and the list of sheets the name of a filter.
pub fn assert_only_changed(source: &Path, target: &Path, changed: &str) {
    let (old, new) = (entries(source), entries(target));
    assert_eq!(old.len(), new.len());
    for (old, new) in old.iter().zip(&new) {
        assert_eq!(old.0, new.0);
        if old.0 == changed {
            assert_eq!(
                (old.1, old.3, old.5),
                (new.1, new.3, new.5),
                "method, time and mode of {changed}"
            );
            assert_ne!(old.6, new.6, "{changed} is written anew");
        } else if old.0.ends_with("styles.xml")
            || old.0.ends_with(".xml") && part(target, &old.0).contains("_FilterDatabase")
        {
            assert_only_gained(&part(source, &old.0), &part(target, &old.0));
        } else {
            assert!(old == new, "{} is not as it was", old.0);
        }
    }
    let comment = |path: &Path| ZipArchive::new(File::open(path).unwrap()).unwrap().comment().to_vec();
    assert_eq!(comment(source), comment(target));
}

/// All letters of the old text still come in order, counts aside: something was put in and nothing taken away.
pub fn assert_only_gained(old: &str, new: &str) {
    let mut rest = new.chars();
    let kept = old
        .chars()
        .filter(|sign| !sign.is_ascii_digit())
        .all(|sign| rest.any(|other| other == sign));
    assert!(kept, "something was taken away:\n{old}\n{new}");
}

/// Text of a part of a package in memory.
pub fn part_of(package: Vec<u8>, name: &str) -> String {
    let mut archive = ZipArchive::new(Cursor::new(package)).unwrap();
    let mut text = String::new();
    archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}
