//! What else a list gets when it is given back: number formats, cell notes, a frozen heading, a filter, a sheet with the report, and
//! sheets with tables of the workbook.
//!
//! For: the parts of a package beside the sheet that must name what is added: styles, links, types, the list of sheets.
//! Always: such a part only gains text, nothing of it is taken away; a part that does not look as expected is left alone and that is
//! told. Everything else of the package is copied as it is.
//! Not known here: what is doubtful, what the report says.

use std::io::{self, Read, Write};

use quick_xml::Reader;
use quick_xml::events::Event;

use super::CellOut;
use super::address::{LAST_COLUMN, LAST_ROW, letters};
use super::package::{self, Archive};
use super::sheet::escaped;
use crate::plates::pages::{Page, SHEET, WORKED};

/// A note on a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// From 1.
    pub row: u32,
    /// From 1.
    pub column: u32,
    /// What it says.
    pub text: String,
}

/// What is asked for beside the columns.
#[derive(Clone, Debug, Default)]
pub struct Extras<'a> {
    /// Number format of each column added, unit included.
    pub formats: Vec<Option<String>>,
    /// Notes on cells, one for a cell, in the order of rows.
    pub notes: Vec<Note>,
    /// Freeze the heading and put a filter on it, where the sheet has none.
    pub freeze: bool,
    /// Pages of the report, written to one sheet.
    pub pages: &'a [Page],
    /// Tables of the workbook that stand in no received file, each on a sheet of its own.
    pub sheets: Vec<OwnSheet>,
    /// First of the columns that were added to the sheet before, from 1: they are replaced.
    pub again: Option<u32>,
}

/// A table of the workbook on a sheet of its own.
#[derive(Clone, Debug)]
pub struct OwnSheet {
    /// Wished name; made fit and unlike the others.
    pub name: String,
    /// Its rows; the first says whose sheet it is.
    pub rows: Vec<Vec<CellOut>>,
    /// How many of the first rows are headings.
    pub headings: usize,
}

/// Where a sheet of ours stands in the package.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Slot {
    /// In the place of the part of an earlier one, by its position.
    Anew(usize),
    /// In a new part of this name.
    New(String),
}

/// Parts of the package to be written anew or added.
#[derive(Debug, Default)]
pub struct Parts {
    /// Changed parts by their position.
    pub changed: Vec<(usize, String)>,
    /// New parts.
    pub added: Vec<(String, String)>,
    /// Where the sheet of the report stands.
    pub report: Option<Slot>,
    /// Where the sheets of the workbook stand, in their order.
    pub sheets: Vec<Option<Slot>>,
    /// Styles of the report.
    pub looks: Looks,
    /// Style of the cells of each column added.
    pub styles: Vec<Option<u32>>,
    /// Link of the sheet to its notes.
    pub notes_link: Option<String>,
    /// What the user should know.
    pub told: Vec<String>,
}

/// Styles of the sheet of the report, where the styles of the list could be added to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Looks {
    /// Of titles and headings.
    bold: Option<u32>,
    /// Of all else: long texts are broken.
    wrapped: Option<u32>,
}

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const PACKAGE: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
const SHEETS: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const TYPES: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml";

/// Most notes that are written.
const MOST_NOTES: usize = 20_000;
/// Longest note, in characters.
const LONGEST_NOTE: usize = 1000;

/// A filter put on a sheet: programs look for it under a name of its own in the list of sheets.
pub struct Filter<'a> {
    /// Name of the sheet.
    pub sheet: &'a str,
    /// Its block: `$A$3:$K$40`.
    pub block: String,
}

/// Makes the parts.
pub fn parts(archive: &mut Archive, part: &str, extras: &Extras<'_>, filter: Option<&Filter<'_>>) -> Parts {
    let mut parts = Parts {
        styles: vec![None; extras.formats.len()],
        ..Parts::default()
    };
    if extras.formats.iter().any(Option::is_some) && !formats(archive, extras, &mut parts) {
        parts.told.push(
            "the new numbers have no number format, since the styles of the list could not be added to".to_owned(),
        );
    }
    if let (Some(filter), Some(book)) = (filter, package::book(archive)) {
        // Without the name the filter is there all the same for most programs.
        let _ = change(archive, &mut parts, &book, |text| with_filter_name(text, filter));
    }
    let mut types = String::new();
    if extras.notes.is_empty() {
        // Notes of an earlier time that no doubt stands behind any more go.
        if let package::Notes::Known(comments, drawing) = package::notes(archive, part) {
            notes_beside(archive, [&comments, &drawing], &[], &mut parts);
        }
    } else {
        match package::notes(archive, part) {
            package::Notes::None => parts.notes_link = notes(archive, part, &extras.notes, &mut parts, &mut types),
            package::Notes::Known(comments, drawing)
                if notes_beside(archive, [&comments, &drawing], &extras.notes, &mut parts) => {}
            _ => parts.told.push(
                "the sheet has cell notes of a sort that cannot be added to; doubts are not put into notes, they stand in the last column"
                    .to_owned(),
            ),
        }
    }
    if !extras.pages.is_empty() || !extras.sheets.is_empty() {
        looks(archive, &mut parts);
    }
    if !extras.pages.is_empty() {
        let words: &[&str] = &["About the list", "Loads are estimates for qualified people."];
        parts.report = own_sheet(archive, &mut parts, &mut types, SHEET, ("importreport", words));
        if parts.report.is_none() {
            parts
                .told
                .push("the report has no sheet, since the list of sheets could not be added to".to_owned());
        }
    }
    for sheet in &extras.sheets {
        let slot = own_sheet(archive, &mut parts, &mut types, &sheet.name, ("workedsheet", &[WORKED]));
        if slot.is_none() {
            parts.told.push(format!(
                "\"{}\" has no sheet, since the list of sheets could not be added to",
                sheet.name
            ));
        }
        parts.sheets.push(slot);
    }
    if !types.is_empty()
        && !change(archive, &mut parts, "[Content_Types].xml", |text| {
            grown(text, "Types", &types)
        })
    {
        // Without their types the new parts would make the package unreadable.
        parts.added.clear();
        parts.report = None;
        parts.sheets.clear();
        parts.looks = Looks::default();
        parts.notes_link = None;
        parts.changed.clear();
        parts.styles.fill(None);
        parts
            .told
            .push("only columns were added, since the list of types could not be added to".to_owned());
    }
    parts
}

/// The text of a small part.
fn text_of(archive: &mut Archive, name: &str) -> Option<(usize, String)> {
    let index = package::find(archive, name)?;
    let entry = archive.by_index(index).ok()?;
    let mut text = String::new();
    entry.take(package::SMALL_PART).read_to_string(&mut text).ok()?;
    Some((index, text))
}

/// Changes a part, once more where it was changed before.
fn change(archive: &mut Archive, parts: &mut Parts, name: &str, how: impl FnOnce(&str) -> Option<String>) -> bool {
    let Some((index, text)) = text_of(archive, name) else {
        return false;
    };
    let known = parts.changed.iter_mut().find(|(at, _)| *at == index);
    let before = known.as_ref().map_or(text.as_str(), |(_, text)| text.as_str());
    let Some(new) = how(before) else { return false };
    match known {
        Some((_, text)) => *text = new,
        None => parts.changed.push((index, new)),
    }
    true
}

/// Where an element of this local name at this depth ends: the place before its closing tag, and the prefix of its name.
fn end_of(text: &str, local: &str, depth: usize) -> Option<(usize, String)> {
    let mut reader = Reader::from_str(text);
    let mut level = 0;
    loop {
        let before = usize::try_from(reader.buffer_position()).ok()?;
        match reader.read_event().ok()? {
            Event::Start(_) => level += 1,
            Event::End(tag) => {
                let name = tag.name();
                let name: &str = name.as_ref();
                let (prefix, own) = name.rsplit_once(':').map_or(("", name), |(prefix, own)| (prefix, own));
                if level == depth && own == local {
                    let prefix = if prefix.is_empty() {
                        String::new()
                    } else {
                        format!("{prefix}:")
                    };
                    return Some((before, prefix));
                }
                level -= 1;
            }
            Event::DocType(_) | Event::Eof => return None,
            _ => {}
        }
    }
}

/// The list of sheets with the name of a filter added, where the sheet has no such name yet.
fn with_filter_name(text: &str, filter: &Filter<'_>) -> Option<String> {
    let mut sheets = Vec::new();
    let mut known = Vec::new();
    let mut reader = Reader::from_str(text);
    loop {
        match reader.read_event().ok()? {
            Event::Start(tag) | Event::Empty(tag) => {
                let of = |name: &str| super::stream::attribute(&tag, name).ok().flatten();
                match AsRef::<str>::as_ref(&tag.local_name()) {
                    "sheet" => sheets.push(of("name")?),
                    "definedName" if of("name").is_some_and(|name| name == "_xlnm._FilterDatabase") => {
                        known.extend(of("localSheetId"));
                    }
                    _ => {}
                }
            }
            Event::DocType(_) => return None,
            Event::Eof => break,
            _ => {}
        }
    }
    let number = sheets.iter().position(|name| name == filter.sheet)?.to_string();
    if known.contains(&number) {
        return None;
    }
    let line = |prefix: &str| {
        format!(
            "<{prefix}definedName name=\"_xlnm._FilterDatabase\" localSheetId=\"{number}\" hidden=\"1\">'{}'!{}</{prefix}definedName>",
            escaped(&filter.sheet.replace('\'', "''")),
            filter.block
        )
    };
    if let Some((place, prefix)) = end_of(text, "definedNames", 2) {
        let (before, after) = text.split_at_checked(place)?;
        return Some(format!("{before}{}{after}", line(&prefix)));
    }
    // Names come behind these, in this order.
    let (place, prefix) = ["externalReferences", "functionGroups", "sheets"]
        .into_iter()
        .find_map(|element| end_of(text, element, 2))?;
    let place = place + text.get(place..)?.find('>')? + 1;
    let (before, after) = text.split_at_checked(place)?;
    Some(format!(
        "{before}<{prefix}definedNames>{}</{prefix}definedNames>{after}",
        line(&prefix)
    ))
}

/// The text with something put before the end of its root; only names without a prefix are added to.
fn grown(text: &str, root: &str, addition: &str) -> Option<String> {
    let (place, prefix) = end_of(text, root, 1)?;
    if !prefix.is_empty() {
        return None;
    }
    let (before, after) = text.split_at_checked(place)?;
    Some(format!("{before}{addition}{after}"))
}

/// Adds number formats; gives whether it could be done.
fn formats(archive: &mut Archive, extras: &Extras<'_>, parts: &mut Parts) -> bool {
    let Some(name) = package::linked(archive, "styles") else {
        return false;
    };
    let mut wanted: Vec<&String> = extras.formats.iter().flatten().collect();
    wanted.sort();
    wanted.dedup();
    let mut first = None;
    let done = change(archive, parts, &name, |text| {
        let (text, count) = with_formats(text, &wanted)?;
        first = Some(count);
        Some(text)
    });
    if let (true, Some(first)) = (done, first) {
        for (style, format) in parts.styles.iter_mut().zip(&extras.formats) {
            *style = format
                .as_ref()
                .and_then(|format| wanted.iter().position(|known| *known == format))
                .and_then(|place| Some(first + u32::try_from(place).ok()?));
        }
    }
    done
}

/// Adds a bold and a wrapped style for the report; without them it is plain.
fn looks(archive: &mut Archive, parts: &mut Parts) {
    let Some(name) = package::linked(archive, "styles") else {
        return;
    };
    let mut first = None;
    let done = change(archive, parts, &name, |text| {
        let (text, count) = with_looks(text)?;
        first = Some(count);
        Some(text)
    });
    if let (true, Some(first)) = (done, first) {
        parts.looks = Looks {
            bold: Some(first),
            wrapped: Some(first + 1),
        };
    }
}

/// The styles with a bold and a wrapped one added; the second is the number of the first.
fn with_looks(text: &str) -> Option<(String, u32)> {
    let (mut fonts, mut styles) = (0u32, 0u32);
    let (mut in_fonts, mut in_styles) = (false, false);
    let mut reader = Reader::from_str(text);
    loop {
        let event = reader.read_event().ok()?;
        match &event {
            Event::Start(tag) | Event::Empty(tag) => {
                let local = tag.local_name();
                let local: &str = local.as_ref();
                match local {
                    "fonts" => in_fonts = true,
                    "cellXfs" => in_styles = true,
                    "font" if in_fonts => fonts += 1,
                    "xf" if in_styles => styles += 1,
                    _ => {}
                }
            }
            Event::End(tag) => match AsRef::<str>::as_ref(&tag.local_name()) {
                "fonts" => in_fonts = false,
                "cellXfs" => in_styles = false,
                _ => {}
            },
            Event::DocType(_) => return None,
            Event::Eof => break,
            _ => {}
        }
    }
    if styles == 0 {
        return None;
    }
    let add = |text: &str, element: &str, more: &str, count: usize| -> Option<String> {
        let (place, prefix) = end_of(text, element, 2)?;
        if !prefix.is_empty() {
            return None;
        }
        let (before, after) = text.split_at_checked(place)?;
        Some(recounted(&format!("{before}{more}{after}"), element, count))
    };
    let text = add(
        text,
        "fonts",
        "<font><b/><sz val=\"11\"/><name val=\"Calibri\"/></font>",
        1,
    )?;
    let look = |font: u32, wrap: &str| {
        format!(
            "<xf numFmtId=\"0\" fontId=\"{font}\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyFont=\"1\" applyAlignment=\"1\">\
             <alignment vertical=\"top\"{wrap}/></xf>"
        )
    };
    let both = look(fonts, "") + &look(0, " wrapText=\"1\"");
    Some((add(&text, "cellXfs", &both, 2)?, styles))
}

/// The styles with number formats added, each with a look that shows it; the second is the number of the first new look.
fn with_formats(text: &str, wanted: &[&String]) -> Option<(String, u32)> {
    // Numbers of formats below 164 are fixed ones.
    let mut next = 164;
    let mut count = 0u32;
    let mut inside = false;
    let mut reader = Reader::from_str(text);
    loop {
        match reader.read_event().ok()? {
            Event::Start(tag) | Event::Empty(tag) => {
                let local = tag.local_name();
                let local: &str = local.as_ref();
                match local {
                    "numFmt" => {
                        let id = super::stream::attribute(&tag, "numFmtId").ok()??;
                        next = next.max(id.trim().parse::<u32>().ok()? + 1);
                    }
                    "cellXfs" => inside = true,
                    "xf" if inside => count += 1,
                    _ => {}
                }
            }
            Event::End(tag) if AsRef::<str>::as_ref(&tag.local_name()) == "cellXfs" => inside = false,
            Event::DocType(_) => return None,
            Event::Eof => break,
            _ => {}
        }
    }
    if count == 0 {
        return None;
    }
    let codes: String = (next..)
        .zip(wanted)
        .map(|(id, code)| format!("<numFmt numFmtId=\"{id}\" formatCode=\"{}\"/>", attribute(code)))
        .collect();
    let looks: String = (next..)
        .zip(wanted)
        .map(|(id, _)| {
            format!(
                "<xf numFmtId=\"{id}\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\"/>"
            )
        })
        .collect();
    let (place, prefix) = end_of(text, "cellXfs", 2)?;
    if !prefix.is_empty() {
        return None;
    }
    let (before, after) = text.split_at_checked(place)?;
    let text = recounted(&format!("{before}{looks}{after}"), "cellXfs", wanted.len());
    let text = match end_of(&text, "numFmts", 2) {
        Some((place, _)) => {
            let (before, after) = text.split_at_checked(place)?;
            recounted(&format!("{before}{codes}{after}"), "numFmts", wanted.len())
        }
        None if text.contains("<numFmts") => {
            // A list of none, written in short.
            let start = text.find("<numFmts")?;
            let end = start + text.get(start..)?.find("/>")? + 2;
            let (before, after) = (text.get(..start)?, text.get(end..)?);
            format!("{before}<numFmts count=\"{}\">{codes}</numFmts>{after}", wanted.len())
        }
        None => {
            // Formats come first of all.
            let root = text.find("<styleSheet")?;
            let place = root + text.get(root..)?.find('>')? + 1;
            let (before, after) = text.split_at_checked(place)?;
            format!("{before}<numFmts count=\"{}\">{codes}</numFmts>{after}", wanted.len())
        }
    };
    Some((text, count))
}

/// The count of a list of elements raised.
fn recounted(text: &str, element: &str, more: usize) -> String {
    let raised = || -> Option<String> {
        let start = text.find(&format!("<{element} "))?;
        let end = start + text.get(start..)?.find('>')?;
        let at = start + text.get(start..end)?.find("count=\"")? + "count=\"".len();
        let close = at + text.get(at..end)?.find('"')?;
        let count: usize = text.get(at..close)?.trim().parse().ok()?;
        Some(format!("{}{}{}", text.get(..at)?, count + more, text.get(close..)?))
    };
    raised().unwrap_or_else(|| text.to_owned())
}

/// A text in an attribute.
fn attribute(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}

/// A name of a part that is free: `xl/comments7.xml`.
fn free(archive: &Archive, parts: &Parts, before: &str, after: &str) -> String {
    // Sheets have their part when they are written, not before.
    let is_slot = |name: &str| {
        let mut slots = parts.report.iter().chain(parts.sheets.iter().flatten());
        slots.any(|slot| matches!(slot, Slot::New(known) if known == name))
    };
    for number in 1..10_000 {
        let name = format!("{before}{number}{after}");
        let is_added = parts.added.iter().any(|(known, _)| *known == name);
        if package::find(archive, &name).is_none() && !is_added && !is_slot(&name) {
            return name;
        }
    }
    format!("{before}{after}")
}

/// The part of the links of a part.
fn links_of(part: &str) -> String {
    let (folder, file) = part.rsplit_once('/').unwrap_or(("", part));
    format!("{folder}/_rels/{file}.rels")
}

/// Adds links to a part: kind and target of each; gives their ids.
fn link(archive: &mut Archive, parts: &mut Parts, part: &str, links: &[(&str, &str)]) -> Option<Vec<String>> {
    let name = links_of(part);
    let known = text_of(archive, &name).map(|(_, text)| text).unwrap_or_default();
    let ids: Vec<String> = (1..)
        .map(|number| format!("polepair{number}"))
        .filter(|id| {
            !known.contains(&format!("\"{id}\""))
                && !parts
                    .changed
                    .iter()
                    .any(|(_, text)| text.contains(&format!("Id=\"{id}\"")))
        })
        .take(links.len())
        .collect();
    let lines: String = ids
        .iter()
        .zip(links)
        .map(|(id, (kind, target))| {
            format!("<Relationship Id=\"{id}\" Type=\"{RELATIONS}/{kind}\" Target=\"{target}\"/>")
        })
        .collect();
    if known.is_empty() {
        parts.added.push((
            name,
            format!("<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n<Relationships xmlns=\"{PACKAGE}\">{lines}</Relationships>"),
        ));
        return Some(ids);
    }
    change(archive, parts, &name, |text| grown(text, "Relationships", &lines)).then_some(ids)
}

/// Adds the notes of a sheet; gives the id of the link to their drawing.
fn notes(archive: &mut Archive, part: &str, notes: &[Note], parts: &mut Parts, types: &mut String) -> Option<String> {
    let comments = free(archive, parts, "xl/comments", ".xml");
    let drawing = free(archive, parts, "xl/drawings/vmlDrawing", ".vml");
    let ids = link(
        archive,
        parts,
        part,
        &[
            ("comments", &format!("/{comments}")),
            ("vmlDrawing", &format!("/{drawing}")),
        ],
    )?;
    let mut list = String::new();
    let mut shapes = String::new();
    for (number, note) in (1u32..).zip(notes.iter().take(MOST_NOTES)) {
        list.push_str(&comment(note, 0));
        shapes.push_str(&shape(note, number));
    }
    if notes.len() > MOST_NOTES {
        parts.told.push(TOO_MANY.to_owned());
    }
    parts.added.push((
        comments.clone(),
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n<comments xmlns=\"{SHEETS}\"><authors><author>{OURS}</author></authors><commentList>{list}</commentList></comments>"
        ),
    ));
    parts.added.push((
        drawing,
        format!(
            "<xml xmlns:v=\"urn:schemas-microsoft-com:vml\" xmlns:o=\"urn:schemas-microsoft-com:office:office\" xmlns:x=\"urn:schemas-microsoft-com:office:excel\"><o:shapelayout v:ext=\"edit\"><o:idmap v:ext=\"edit\" data=\"1\"/></o:shapelayout>{SHAPE_TYPE}{shapes}</xml>"
        ),
    ));
    types.push_str(&format!(
        "<Override PartName=\"/{comments}\" ContentType=\"{TYPES}.comments+xml\"/>"
    ));
    let has_vml = text_of(archive, "[Content_Types].xml").is_some_and(|(_, text)| text.contains("Extension=\"vml\""));
    if !has_vml {
        types.push_str(
            "<Default Extension=\"vml\" ContentType=\"application/vnd.openxmlformats-officedocument.vmlDrawing\"/>",
        );
    }
    ids.into_iter().nth(1)
}

const SHAPE_TYPE: &str = "<v:shapetype id=\"_x0000_t202\" coordsize=\"21600,21600\" o:spt=\"202\" path=\"m,l,21600r21600,l21600,xe\"><v:stroke joinstyle=\"miter\"/><v:path gradientshapeok=\"t\" o:connecttype=\"rect\"/></v:shapetype>";

const TOO_MANY: &str = "only the first 20000 doubts are cell notes; all stand in the last column";

fn text_of_note(note: &Note) -> String {
    let text: String = note.text.chars().take(LONGEST_NOTE).collect();
    format!("<t xml:space=\"preserve\">{}</t>", escaped(&text))
}

fn comment(note: &Note, author: usize) -> String {
    format!(
        "<comment ref=\"{}{}\" authorId=\"{author}\"><text><r>{}</r></text></comment>",
        letters(note.column),
        note.row,
        text_of_note(note)
    )
}

/// The box a note is shown in; numbers of boxes begin behind 1024.
fn shape(note: &Note, number: u32) -> String {
    format!(
        "<v:shape id=\"_x0000_s{}\" type=\"#_x0000_t202\" style=\"position:absolute;margin-left:60pt;margin-top:2pt;width:220pt;height:96pt;z-index:{number};visibility:hidden\" fillcolor=\"#ffffe1\" o:insetmode=\"auto\"><v:fill color2=\"#ffffe1\"/><v:shadow on=\"t\" color=\"black\" obscured=\"t\"/><v:path o:connecttype=\"none\"/><v:textbox/><x:ClientData ObjectType=\"Note\"><x:MoveWithCells/><x:SizeWithCells/><x:AutoFill>False</x:AutoFill><x:Row>{}</x:Row><x:Column>{}</x:Column></x:ClientData></v:shape>",
        1024 + number,
        note.row - 1,
        note.column - 1
    )
}

/// Adds notes beside those a sheet has already. A cell that has one keeps it, with ours behind it; notes of ours of an earlier time
/// go. Gives whether it could be done.
fn notes_beside(archive: &mut Archive, [comments, drawing]: [&str; 2], notes: &[Note], parts: &mut Parts) -> bool {
    let Some((_, list)) = text_of(archive, comments) else {
        return false;
    };
    let Some((_, shapes)) = text_of(archive, drawing) else {
        return false;
    };
    let (list, shapes) = match without_ours(&list, &shapes) {
        Some(bare) => bare,
        None if notes.is_empty() => return true,
        None => (list, shapes),
    };
    let Some((list, fresh)) = with_comments(&list, notes.get(..notes.len().min(MOST_NOTES)).unwrap_or(notes)) else {
        return false;
    };
    let Some(shapes) = with_shapes(&shapes, &fresh) else {
        return false;
    };
    if notes.len() > MOST_NOTES {
        parts.told.push(TOO_MANY.to_owned());
    }
    change(archive, parts, comments, |_| Some(list)) && change(archive, parts, drawing, |_| Some(shapes))
}

/// Who writes our notes.
const OURS: &str = "polepair";
/// What parts a note of theirs from ours behind it.
const BEHIND: &str = "<r><t xml:space=\"preserve\">\n</t></r>";

/// A list of notes and their drawing without those of ours; `None` where there is none, or a box is not found.
fn without_ours(list: &str, shapes: &str) -> Option<(String, String)> {
    let mut reader = Reader::from_str(list);
    let (mut authors, mut author) = (Vec::new(), None::<String>);
    let mut open: Option<(usize, String, bool)> = None;
    let mut gone: Vec<std::ops::Range<usize>> = Vec::new();
    let mut cells: Vec<String> = Vec::new();
    loop {
        let before = usize::try_from(reader.buffer_position()).ok()?;
        match reader.read_event().ok()? {
            Event::Start(tag) => match AsRef::<str>::as_ref(&tag.name()) {
                "author" => author = Some(String::new()),
                "comment" => {
                    let at = super::stream::attribute(&tag, "ref").ok()??.replace('$', "");
                    let by: usize = super::stream::attribute(&tag, "authorId").ok()??.trim().parse().ok()?;
                    let ours = authors.get(by).is_some_and(|name| name == OURS);
                    open = Some((before, at, ours));
                }
                _ => {}
            },
            Event::Empty(tag) if AsRef::<str>::as_ref(&tag.name()) == "author" => authors.push(String::new()),
            Event::Text(text) => {
                if let Some(author) = &mut author {
                    author.push_str(AsRef::<str>::as_ref(&text));
                }
            }
            Event::End(tag) => match AsRef::<str>::as_ref(&tag.name()) {
                "author" => authors.extend(author.take()),
                "comment" => {
                    let end = usize::try_from(reader.buffer_position()).ok()?;
                    let (start, at, ours) = open.take()?;
                    if ours {
                        gone.push(start..end);
                        cells.push(at);
                    } else if let Some(from) = list.get(start..end)?.find(BEHIND) {
                        let to = list.get(start..end)?.rfind("</text>")?;
                        gone.push(start + from..start + to);
                    }
                }
                _ => {}
            },
            Event::DocType(_) => return None,
            Event::Eof => break,
            _ => {}
        }
    }
    if gone.is_empty() {
        return None;
    }
    let mut bare = String::with_capacity(list.len());
    let mut from = 0;
    for range in gone {
        bare.push_str(list.get(from..range.start)?);
        from = range.end;
    }
    bare.push_str(list.get(from..)?);
    let mut shapes = shapes.to_owned();
    for at in cells {
        let (row, column) = super::address::cell(&at)?;
        let marks = [format!(":Row>{}</", row - 1), format!(":Column>{}</", column - 1)];
        // Other programs write other prefixes.
        let place = shapes.match_indices(":shape ").find_map(|(at, _)| {
            let start = shapes.get(..at)?.rfind('<')?;
            let close = format!("</{}:shape>", shapes.get(start + 1..at)?);
            let end = start + shapes.get(start..)?.find(&close)? + close.len();
            let shape = shapes.get(start..end)?;
            marks.iter().all(|mark| shape.contains(mark)).then_some(start..end)
        })?;
        shapes.replace_range(place, "");
    }
    Some((bare, shapes))
}

/// A list of notes with ours in it, and those of ours that stand on cells without one.
fn with_comments<'n>(text: &str, notes: &'n [Note]) -> Option<(String, Vec<&'n Note>)> {
    let mut reader = Reader::from_str(text);
    let mut authors = 0usize;
    let mut at: Option<String> = None;
    // Where the texts of the notes that are there end, and how long they are.
    let mut ends: std::collections::HashMap<String, usize> = std::collections::HashMap::new();
    loop {
        let before = usize::try_from(reader.buffer_position()).ok()?;
        match reader.read_event().ok()? {
            Event::Start(tag) => match AsRef::<str>::as_ref(&tag.name()) {
                "author" => authors += 1,
                "comment" => at = Some(super::stream::attribute(&tag, "ref").ok()??.replace('$', "")),
                // Signs of pronunciation stand behind all text: nothing can be put behind it.
                "rPh" | "phoneticPr" => return None,
                _ => {}
            },
            Event::Empty(tag) => match AsRef::<str>::as_ref(&tag.name()) {
                "author" => authors += 1,
                "phoneticPr" => return None,
                _ => {}
            },
            Event::End(tag) if AsRef::<str>::as_ref(&tag.name()) == "text" => {
                if let Some(at) = at.take() {
                    ends.insert(at, before);
                }
            }
            Event::DocType(_) => return None,
            Event::Eof => break,
            _ => {}
        }
    }
    let (authors_end, prefix) = end_of(text, "authors", 2)?;
    let (list_end, _) = end_of(text, "commentList", 2)?;
    if !prefix.is_empty() {
        return None;
    }
    let mut fresh = Vec::new();
    let known = format!("<author>{OURS}</author>");
    let place = text
        .find(&known)
        .and_then(|at| Some(text.get(..at)?.matches("<author").count()));
    // The list of authors begins with their name too.
    let author = place.map_or(authors, |place| place.saturating_sub(1));
    let mut additions = Vec::new();
    if place.is_none() && !notes.is_empty() {
        additions.push((authors_end, known));
    }
    let mut new = String::new();
    for note in notes {
        match ends.get(&format!("{}{}", letters(note.column), note.row)) {
            Some(end) => additions.push((*end, format!("{BEHIND}<r>{}</r>", text_of_note(note)))),
            None => {
                new.push_str(&comment(note, author));
                fresh.push(note);
            }
        }
    }
    additions.push((list_end, new));
    additions.sort_by_key(|(place, _)| *place);
    let mut out = String::with_capacity(text.len() + additions.iter().map(|(_, text)| text.len()).sum::<usize>());
    let mut from = 0;
    for (place, addition) in additions {
        out.push_str(text.get(from..place)?);
        out.push_str(&addition);
        from = place;
    }
    out.push_str(text.get(from..)?);
    Some((out, fresh))
}

/// A drawing with the boxes of notes added. It need not be proper XML, so its end is looked for as text.
fn with_shapes(text: &str, notes: &[&Note]) -> Option<String> {
    let end = text.rfind("</xml>")?;
    let highest = text
        .match_indices("_x0000_s")
        .filter_map(|(at, sign)| {
            let digits: String = text
                .get(at + sign.len()..)?
                .chars()
                .take_while(char::is_ascii_digit)
                .collect();
            digits.parse::<u32>().ok()
        })
        .max()
        .unwrap_or(1024)
        .max(1024);
    let mut shapes = String::new();
    if !text.contains("_x0000_t202\"") {
        shapes.push_str(SHAPE_TYPE);
    }
    for (number, note) in (highest.checked_sub(1023)?..).zip(notes) {
        shapes.push_str(&shape(note, number));
    }
    let (before, after) = text.split_at_checked(end)?;
    Some(format!("{before}{shapes}{after}"))
}

/// Whether the part of a sheet that is called like one of ours is one: by its name in a list given back, by its words in a file of
/// our own making.
fn is_ours(archive: &mut Archive, part: &str, (stem, words): (&str, &[&str])) -> bool {
    part.contains(stem)
        || text_of(archive, "xl/sharedStrings.xml")
            .is_some_and(|(_, text)| words.iter().all(|word| text.contains(word)))
}

/// Adds a sheet of ours, or finds that of an earlier time; `ours`: the stem of the name of its part, and words that only it holds.
fn own_sheet(
    archive: &mut Archive,
    parts: &mut Parts,
    types: &mut String,
    wished: &str,
    ours: (&str, &[&str]),
) -> Option<Slot> {
    let book = package::book(archive)?;
    let (at, text) = text_of(archive, &book)?;
    let changed = parts.changed.iter().find(|(known, _)| *known == at);
    let text = changed.map_or(text, |(_, text)| text.clone());
    // Sheets are numbered; names differ without regard to case.
    let mut numbers: Vec<u32> = Vec::new();
    let mut names: Vec<String> = Vec::new();
    let mut reader = Reader::from_str(&text);
    loop {
        match reader.read_event() {
            Ok(Event::Start(tag) | Event::Empty(tag)) if AsRef::<str>::as_ref(&tag.local_name()) == "sheet" => {
                let of = |name: &str| super::stream::attribute(&tag, name).ok().flatten();
                numbers.extend(of("sheetId").and_then(|id| id.trim().parse::<u32>().ok()));
                names.extend(of("name").map(|name| name.to_lowercase()));
            }
            Ok(Event::Eof) => break,
            Err(_) => return None,
            _ => {}
        }
    }
    // A sheet of ours is written anew in its place.
    if names.contains(&wished.to_lowercase())
        && let Ok(part) = package::sheet_part(archive, wished)
        && is_ours(archive, &part, ours)
        && let Some(at) = package::find(archive, &part)
    {
        return Some(Slot::Anew(at));
    }
    let number = numbers.iter().max().copied().unwrap_or(0).saturating_add(1);
    let name = std::iter::once(wished.to_owned())
        .chain((2..1000).map(|number| {
            let short: String = wished.chars().take(27).collect();
            format!("{} {number}", short.trim_end())
        }))
        .find(|name| !names.contains(&name.to_lowercase()))?;
    let sheet = free(archive, parts, &format!("xl/worksheets/{}", ours.0), ".xml");
    let _ = end_of(&text, "sheets", 2)?;
    let ids = link(archive, parts, &book, &[("worksheet", &format!("/{sheet}"))])?;
    let id = ids.first()?;
    let named = change(archive, parts, &book, |text| {
        let (place, prefix) = end_of(text, "sheets", 2)?;
        let (before, after) = text.split_at_checked(place)?;
        let name = escaped(&name);
        let line =
            format!("<{prefix}sheet xmlns:r=\"{RELATIONS}\" name=\"{name}\" sheetId=\"{number}\" r:id=\"{id}\"/>");
        Some(format!("{before}{line}{after}"))
    });
    if !named {
        return None;
    }
    types.push_str(&format!(
        "<Override PartName=\"/{sheet}\" ContentType=\"{TYPES}.worksheet+xml\"/>"
    ));
    Some(Slot::New(sheet))
}

/// Writes a table of the workbook.
///
/// # Errors
/// Those of writing.
pub fn write_sheet(sheet: &OwnSheet, looks: Looks, out: &mut dyn Write) -> io::Result<()> {
    write!(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n<worksheet xmlns=\"{SHEETS}\"><cols><col min=\"1\" max=\"{LAST_COLUMN}\" width=\"18\" customWidth=\"1\"/></cols><sheetData>"
    )?;
    for ((at, row), index) in (1u32..=LAST_ROW).zip(&sheet.rows).zip(0usize..) {
        let style = if index < sheet.headings { looks.bold } else { None };
        write!(out, "<row r=\"{at}\">")?;
        for (column, field) in (1u32..=LAST_COLUMN).zip(row) {
            let text = match field {
                CellOut::Blank => continue,
                CellOut::Text(text) if text.is_empty() => continue,
                CellOut::Text(text) => text_cell(column, at, text, style),
                CellOut::Number(number) => format!("<c r=\"{}{at}\"><v>{number}</v></c>", letters(column)),
            };
            out.write_all(text.as_bytes())?;
        }
        out.write_all(b"</row>")?;
    }
    out.write_all(b"</sheetData></worksheet>")
}

/// Writes the sheet of the report: the pages one below the other, row by row.
///
/// # Errors
/// Those of writing.
pub fn write_report(pages: &[Page], looks: Looks, out: &mut dyn Write) -> io::Result<()> {
    write!(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n<worksheet xmlns=\"{SHEETS}\"><cols><col min=\"1\" max=\"3\" width=\"14\" customWidth=\"1\"/><col min=\"4\" max=\"8\" width=\"40\" customWidth=\"1\"/></cols><sheetData>"
    )?;
    let mut at = 0u32;
    let mut line = |cells: &mut dyn Iterator<Item = &str>, style: Option<u32>| -> io::Result<()> {
        at = at.saturating_add(1);
        if at == LAST_ROW {
            let further = "further lines do not fit on a sheet; polepair import LIST --report FILE writes all of them";
            return write!(out, "<row r=\"{at}\">{}</row>", cell(1, at, further, looks.bold));
        }
        if at > LAST_ROW {
            return Ok(());
        }
        let mut begun = false;
        for (column, text) in (1u32..).zip(cells).filter(|(_, text)| !text.is_empty()) {
            if !std::mem::replace(&mut begun, true) {
                write!(out, "<row r=\"{at}\">")?;
            }
            out.write_all(cell(column, at, text, style).as_bytes())?;
        }
        if begun {
            out.write_all(b"</row>")?;
        }
        Ok(())
    };
    for page in pages {
        line(&mut std::iter::once(page.title), looks.bold)?;
        line(&mut page.headings.iter().copied(), looks.bold)?;
        for row in &page.rows {
            line(&mut row.iter().map(String::as_str), looks.wrapped)?;
        }
        line(&mut std::iter::empty(), None)?;
    }
    out.write_all(b"</sheetData></worksheet>")
}

/// A cell of the report: a number where it is one, else a text.
fn cell(column: u32, row: u32, text: &str, style: Option<u32>) -> String {
    let looks = style;
    let style = style.map(|style| format!(" s=\"{style}\"")).unwrap_or_default();
    let place = format!("{}{row}\"{style}", letters(column));
    let plain = text.len() < 12
        && text.parse::<f64>().is_ok_and(f64::is_finite)
        && text.starts_with(|sign: char| sign.is_ascii_digit() || sign == '-');
    if plain {
        format!("<c r=\"{place}><v>{text}</v></c>")
    } else {
        text_cell(column, row, text, looks)
    }
}

fn text_cell(column: u32, row: u32, text: &str, style: Option<u32>) -> String {
    let style = style.map(|style| format!(" s=\"{style}\"")).unwrap_or_default();
    format!(
        "<c r=\"{}{row}\"{style} t=\"inlineStr\"><is><t xml:space=\"preserve\">{}</t></is></c>",
        letters(column),
        escaped(text)
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// The order of `numFmts` and the counts are those of ECMA-376 part 1, 18.8.
    #[test]
    fn formats_join_those_that_are_there() {
        let code = "0.0\" %\"".to_owned();
        let styles = |formats: &str| {
            format!(
                "<styleSheet xmlns=\"x\">{formats}<fonts/><cellXfs count=\"1\"><xf numFmtId=\"0\"/></cellXfs></styleSheet>"
            )
        };
        for (formats, id, count) in [
            ("", 164, 1),
            ("<numFmts count=\"0\"/>", 164, 1),
            (
                "<numFmts count=\"1\"><numFmt numFmtId=\"170\" formatCode=\"0\"/></numFmts>",
                171,
                2,
            ),
        ] {
            let (text, first) = with_formats(&styles(formats), &[&code]).unwrap();
            assert_eq!(first, 1);
            assert_eq!(text.matches("<numFmts").count(), 1, "{text}");
            assert!(text.contains(&format!("<numFmts count=\"{count}\">")), "{text}");
            assert!(
                text.contains(&format!("<numFmt numFmtId=\"{id}\" formatCode=\"0.0&quot; %&quot;\"/>")),
                "{text}"
            );
            assert!(
                text.contains("<cellXfs count=\"2\">") && text.contains(&format!("<xf numFmtId=\"{id}\"")),
                "{text}"
            );
        }
        assert!(with_formats("<styleSheet><fonts/></styleSheet>", &[&code]).is_none());
    }
}
