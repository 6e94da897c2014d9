//! The package of a workbook: a zip of parts. Finds the part of a sheet and the tables that stand on it.
//!
//! Always: read within limits; parts are found by following links, not by guessing names.

use std::borrow::Cow;
use std::fs::File;
use std::io::{BufReader, Read};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use zip::ZipArchive;

use super::address::Area;
use super::stream::attribute;

/// The archive a package is.
pub type Archive = ZipArchive<BufReader<File>>;

/// Most bytes of a small part (links, the list of sheets, a table) that are read.
pub const SMALL_PART: u64 = 64 << 20;
/// Most bytes of a sheet that are read.
pub const LARGEST_SHEET: u64 = 2 << 30;

/// Why a package cannot be used.
#[derive(Debug)]
pub enum Odd {
    /// What was found.
    Found(String),
    /// The sheet is not there; the names there are.
    NoSheet(Vec<String>),
}

/// A link of a part.
struct Link {
    id: String,
    kind: String,
    target: String,
}

/// The part of the sheet with this name.
pub fn sheet_part(archive: &mut Archive, sheet: &str) -> Result<String, Odd> {
    let book = links(archive, "")?
        .into_iter()
        .find(|link| link.kind == "officeDocument")
        .ok_or_else(|| Odd::Found("it is no workbook package".to_owned()))?
        .target;
    let mut known: Vec<(String, String)> = Vec::new();
    for_each_tag(archive, &book, |name, tag| {
        if name == "sheet"
            && let (Some(title), Some(id)) = (attribute(tag, "name")?, attribute(tag, "id")?)
        {
            known.push((title, id));
        }
        Ok(())
    })?;
    let Some((_, id)) = known.iter().find(|(name, _)| name == sheet) else {
        return Err(Odd::NoSheet(known.into_iter().map(|(name, _)| name).collect()));
    };
    links(archive, &book)?
        .into_iter()
        .find(|link| link.id == *id)
        .map(|link| link.target)
        .ok_or_else(|| Odd::Found(format!("the sheet \"{sheet}\" is named but has no part of its own")))
}

/// The part with the list of sheets.
pub fn book(archive: &mut Archive) -> Option<String> {
    let links = links(archive, "").ok()?;
    links
        .into_iter()
        .find(|link| link.kind == "officeDocument")
        .map(|link| link.target)
}

/// The part that the list of sheets links to as this.
pub fn linked(archive: &mut Archive, kind: &str) -> Option<String> {
    let book = book(archive)?;
    let links = links(archive, &book).ok()?;
    links.into_iter().find(|link| link.kind == kind).map(|link| link.target)
}

/// The notes that a sheet has on its cells.
pub enum Notes {
    /// None.
    None,
    /// Their part and the part of their drawing.
    Known(String, String),
    /// Of another sort, or without one of the two.
    Odd,
}

/// The notes that a sheet has on its cells.
pub fn notes(archive: &mut Archive, part: &str) -> Notes {
    let Ok(links) = links(archive, part) else {
        return Notes::None;
    };
    let of = |kind: &str| {
        links
            .iter()
            .find(|link| link.kind == kind)
            .map(|link| link.target.clone())
    };
    match (of("comments"), of("vmlDrawing"), of("threadedComment")) {
        (None, None, None) => Notes::None,
        (Some(comments), Some(drawing), None) => Notes::Known(comments, drawing),
        _ => Notes::Odd,
    }
}

/// The blocks of the tables of a sheet.
pub fn tables(archive: &mut Archive, part: &str, ids: &[String]) -> Result<Vec<Area>, Odd> {
    let mut areas = Vec::new();
    if ids.is_empty() {
        return Ok(areas);
    }
    for link in links(archive, part)? {
        if !ids.contains(&link.id) {
            continue;
        }
        for_each_tag(archive, &link.target, |name, tag| {
            if name == "table" {
                areas.extend(attribute(tag, "ref")?.as_deref().and_then(Area::parse));
            }
            Ok(())
        })?;
    }
    Ok(areas)
}

/// Position of a part in the archive. Part names do not tell upper from lower case.
pub fn find(archive: &Archive, part: &str) -> Option<usize> {
    archive.index_for_name(part).or_else(|| {
        let same = names(archive).find(|name| name.eq_ignore_ascii_case(part))?;
        archive.index_for_name(&same)
    })
}

/// Whether somebody signed the package.
pub fn is_signed(archive: &Archive) -> bool {
    names(archive).any(|name| name.to_ascii_lowercase().starts_with("_xmlsignatures/"))
}

/// Whether it carries a macro project.
pub fn has_macros(archive: &Archive) -> bool {
    names(archive).any(|name| name.to_ascii_lowercase().ends_with("vbaproject.bin"))
}

/// Names of the parts; one that is no text is passed over, no link leads there.
fn names(archive: &Archive) -> impl Iterator<Item = Cow<'_, str>> {
    archive.file_names().filter_map(Result::ok)
}

/// The links of a part; of the package itself for an empty name.
fn links(archive: &mut Archive, part: &str) -> Result<Vec<Link>, Odd> {
    let (folder, file) = part.rsplit_once('/').unwrap_or(("", part));
    let name = if folder.is_empty() {
        format!("_rels/{file}.rels")
    } else {
        format!("{folder}/_rels/{file}.rels")
    };
    let mut links = Vec::new();
    for_each_tag(archive, &name, |name, tag| {
        if name == "Relationship"
            && let (Some(id), Some(kind), Some(target)) = (
                attribute(tag, "Id")?,
                attribute(tag, "Type")?,
                attribute(tag, "Target")?,
            )
            && attribute(tag, "TargetMode")?.as_deref() != Some("External")
        {
            links.push(Link {
                id,
                kind: kind.rsplit('/').next().unwrap_or("").to_owned(),
                target: resolve(folder, &target),
            });
        }
        Ok(())
    })?;
    Ok(links)
}

/// The part a link leads to, from the folder of the part it stands in.
fn resolve(folder: &str, target: &str) -> String {
    let target = target.replace('\\', "/");
    let mut path: Vec<&str> = match target.strip_prefix('/') {
        Some(_) => Vec::new(),
        None => folder.split('/').filter(|step| !step.is_empty()).collect(),
    };
    for step in target.split('/') {
        match step {
            "" | "." => {}
            ".." => drop(path.pop()),
            step => path.push(step),
        }
    }
    path.join("/")
}

/// Calls `see` with each opening tag of a small part.
fn for_each_tag(
    archive: &mut Archive,
    part: &str,
    mut see: impl FnMut(&str, &BytesStart) -> Result<(), String>,
) -> Result<(), Odd> {
    let index = find(archive, part).ok_or_else(|| Odd::Found(format!("its part {part} is missing")))?;
    let entry = archive.by_index(index).map_err(|error| Odd::Found(error.to_string()))?;
    let mut reader = Reader::from_reader(BufReader::new(entry.take(SMALL_PART)));
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        let event = reader
            .read_event_into(&mut buffer)
            .map_err(|error| Odd::Found(format!("its part {part} cannot be read: {error}")))?;
        match event {
            Event::Start(tag) | Event::Empty(tag) => {
                let local = tag.local_name();
                see(local.as_ref(), &tag).map_err(Odd::Found)?;
            }
            Event::DocType(_) => return Err(Odd::Found(format!("its part {part} has a document type"))),
            Event::Eof => return Ok(()),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::resolve;

    /// Links as the open packaging conventions write them.
    #[test]
    fn links_lead_to_parts() {
        assert_eq!(resolve("xl", "worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
        assert_eq!(resolve("xl", "/xl/worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
        assert_eq!(resolve("xl/worksheets", "../tables/table1.xml"), "xl/tables/table1.xml");
        assert_eq!(resolve("", "./xl/workbook.xml"), "xl/workbook.xml");
    }
}
