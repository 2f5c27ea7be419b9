//! XML as a small tree of elements: no attributes, no entities of its own, bounded.
//!
//! The reader below is a streaming one. It expands no entity but the five of XML, so a document
//! cannot grow while it is read; attributes, which iXML has none of, are not looked at; and what
//! stands before a fault is kept.

use std::ops::Range;
use std::str::FromStr;

use quick_xml::Reader;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, Event};

use crate::limits::{IXML_DEPTH_AT_MOST, IXML_ELEMENTS_AT_MOST};

/// The root element, where there is one, and what is wrong, where something is.
#[derive(Debug)]
pub(super) struct Tree<'s> {
    pub(super) root: Option<Element<'s>>,
    pub(super) fault: Option<String>,
}

/// An element: its name, its text, the elements in it, and where it and its content stand.
#[derive(Debug)]
pub(super) struct Element<'s> {
    source: &'s str,
    name: String,
    own_text: String,
    whole: Range<usize>,
    content: Range<usize>,
    children: Vec<Element<'s>>,
}

impl<'s> Tree<'s> {
    pub(super) fn read(source: &'s str) -> Self {
        let mut growing = Growing {
            source,
            open: Vec::new(),
            root: None,
            elements: 0,
            too_deep: 0,
        };
        let fault = growing.all().err();
        let here = source.len();
        while !growing.open.is_empty() {
            growing.close(here..here);
        }
        Self {
            root: growing.root,
            fault,
        }
    }
}

/// A tree while it is read: the elements that are open, outermost first.
struct Growing<'s> {
    source: &'s str,
    open: Vec<Element<'s>>,
    root: Option<Element<'s>>,
    elements: usize,
    too_deep: usize,
}

impl Growing<'_> {
    fn all(&mut self) -> Result<(), String> {
        let mut reader = Reader::from_str(self.source);
        // Crews write "INT & EXT", and some recorders pass it on as it is.
        reader.config_mut().allow_dangling_amp = true;
        reader.config_mut().expand_empty_elements = true;
        loop {
            let before = position(&reader);
            let event = reader.read_event();
            let after = position(&reader);
            match event {
                Ok(Event::Eof) => return self.end(),
                Ok(event) => self.take(event, before, after)?,
                Err(error) => return Err(format!("byte {}: {error}", reader.error_position())),
            }
        }
    }

    fn end(&self) -> Result<(), String> {
        match self.open.last() {
            Some(element) => Err(format!("it ends before {} is closed", element.name)),
            None if self.root.is_none() => Err("it has no element".to_owned()),
            None => Ok(()),
        }
    }

    fn take(&mut self, event: Event, before: usize, after: usize) -> Result<(), String> {
        match event {
            Event::Start(start) => return self.open(start.local_name().as_ref(), before..after),
            Event::End(_) => self.close(before..after),
            Event::Text(text) => self.text(&text.xml10_content(), before)?,
            Event::CData(text) => self.text(&text.xml10_content(), before)?,
            Event::GeneralRef(reference) => self.text(&resolve(&reference), before)?,
            _ => {}
        }
        Ok(())
    }

    /// An element whose first tag stands there.
    fn open(&mut self, name: &str, tag: Range<usize>) -> Result<(), String> {
        self.elements += 1;
        if self.elements > IXML_ELEMENTS_AT_MOST {
            return Err(format!("it has more than {IXML_ELEMENTS_AT_MOST} elements"));
        }
        if self.open.len() >= IXML_DEPTH_AT_MOST {
            self.too_deep += 1;
            return Ok(());
        }
        self.open.push(Element {
            source: self.source,
            name: name.to_owned(),
            own_text: String::new(),
            content: tag.end..tag.end,
            whole: tag,
            children: Vec::new(),
        });
        Ok(())
    }

    /// The innermost element, whose last tag stands there.
    fn close(&mut self, tag: Range<usize>) {
        if self.too_deep > 0 {
            self.too_deep -= 1;
            return;
        }
        let Some(mut element) = self.open.pop() else {
            return;
        };
        element.content.end = tag.start.max(element.content.start);
        element.whole.end = tag.end.max(element.content.end);
        match self.open.last_mut() {
            Some(parent) => parent.children.push(element),
            None if self.root.is_none() => self.root = Some(element),
            None => {}
        }
    }

    fn text(&mut self, text: &str, at: usize) -> Result<(), String> {
        match self.open.last_mut() {
            Some(element) => element.own_text.push_str(text),
            None if self.root.is_none() && !text.trim().is_empty() => {
                return Err(format!(
                    "byte {at}: it begins with text, not with an element"
                ));
            }
            None => {}
        }
        Ok(())
    }
}

fn position(reader: &Reader<&[u8]>) -> usize {
    usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX)
}

/// One of XML's own entities or a character's number; anything else stays as it stands.
fn resolve(reference: &BytesRef) -> String {
    if let Ok(Some(character)) = reference.resolve_char_ref() {
        return character.to_string();
    }
    match resolve_xml_entity(reference) {
        Some(text) => text.to_owned(),
        None => format!("&{};", reference.as_ref() as &str),
    }
}

impl Element<'_> {
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// From its first tag to its last.
    pub(super) fn whole(&self) -> Range<usize> {
        self.whole.clone()
    }

    /// What stands between its tags.
    pub(super) fn content(&self) -> Range<usize> {
        self.content.clone()
    }

    /// Whether this is its name; some writers use small letters.
    pub(super) fn is(&self, name: &str) -> bool {
        self.name.eq_ignore_ascii_case(name)
    }

    /// What stands in a list, as iXML has it: `TRACK` in `TRACK_LIST`.
    pub(super) fn items(&self, item: &str) -> impl Iterator<Item = &Self> {
        let list = self.child(&format!("{item}_LIST"));
        let items = list.map_or(&[] as &[Self], |list| &list.children);
        items.iter().filter(move |child| child.is(item))
    }

    /// The first element of this name in it.
    pub(super) fn child(&self, name: &str) -> Option<&Self> {
        self.children.iter().find(|child| child.is(name))
    }

    /// The text of the first element of this name, where there is any.
    pub(super) fn text(&self, name: &str) -> Option<String> {
        let child = self.child(name)?;
        // Markup where a text belongs is shown as it stands.
        let text = if child.children.is_empty() {
            child.own_text.as_str()
        } else {
            child.source.get(child.content.clone())?
        };
        let text = text.trim();
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// A whole number.
    pub(super) fn number<N: FromStr>(&self, name: &str) -> Option<N> {
        self.text(name)?.parse().ok()
    }

    /// `TRUE` or `FALSE`, in any case; `1`, `0`, `YES` and `NO` are met too.
    pub(super) fn truth(&self, name: &str) -> Option<bool> {
        match self.text(name)?.to_ascii_uppercase().as_str() {
            "TRUE" | "YES" | "1" => Some(true),
            "FALSE" | "NO" | "0" => Some(false),
            _ => None,
        }
    }

    /// A number of 64 bits that is written as two unsigned halves of 32 bits, each in decimal.
    /// The high half may be missing, the low one not.
    pub(super) fn halves(&self, high: &str, low: &str) -> Option<u64> {
        let high = match self.text(high) {
            Some(_) => self.half(high)?,
            None => 0,
        };
        Some(u64::from(high) << 32 | u64::from(self.half(low)?))
    }

    /// 32 bits in decimal; some writers take them for signed.
    fn half(&self, name: &str) -> Option<u32> {
        let number = self.number::<i64>(name)?;
        let signed = || i32::try_from(number).ok().map(i32::cast_unsigned);
        u32::try_from(number).ok().or_else(signed)
    }
}
