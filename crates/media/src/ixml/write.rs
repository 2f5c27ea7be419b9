//! iXML of our own: only what is known is written.

use std::fmt::Display;

use super::{BextCopy, FileSet, History, Ixml, IxmlTrack, Speed, SyncPoint};

impl Ixml {
    /// The document, UTF-8. Elements that are none are left out.
    pub fn to_xml(&self) -> String {
        let mut out = Xml(String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"));
        out.element("BWFXML", |out| self.body(out));
        out.0
    }

    fn body(&self, out: &mut Xml) {
        out.text("IXML_VERSION", self.version.as_ref());
        out.text("PROJECT", self.project.as_ref());
        out.text("SCENE", self.scene.as_ref());
        out.text("TAKE", self.take.as_ref());
        out.text("TAPE", self.tape.as_ref());
        out.truth("CIRCLED", self.circled);
        out.truth("NO_GOOD", self.no_good);
        out.truth("FALSE_START", self.false_start);
        out.truth("WILD_TRACK", self.wild_track);
        out.text("FILE_UID", self.file_uid.as_ref());
        out.text("UBITS", self.ubits.as_ref());
        out.text("NOTE", self.note.as_ref());
        out.list("SYNC_POINT", &self.sync_points, SyncPoint::write);
        out.part("SPEED", self.speed.as_ref(), Speed::write);
        out.part("HISTORY", self.history.as_ref(), History::write);
        out.part("FILE_SET", self.file_set.as_ref(), FileSet::write);
        out.list("TRACK", &self.tracks, IxmlTrack::write);
        out.part("BEXT", self.bext.as_ref(), BextCopy::write);
        out.part("LOCATION", self.location.as_ref(), |name, out| {
            out.text("LOCATION_NAME", Some(name));
        });
        out.text("USER", self.user.as_ref());
    }
}

impl Speed {
    fn write(&self, out: &mut Xml) {
        out.text("NOTE", self.note.as_ref());
        out.text("MASTER_SPEED", self.master_speed.as_ref());
        out.text("CURRENT_SPEED", self.current_speed.as_ref());
        out.text("TIMECODE_RATE", self.timecode_rate.as_ref());
        out.text("TIMECODE_FLAG", self.timecode_flag.as_ref());
        out.text("FILE_SAMPLE_RATE", self.file_sample_rate);
        out.text("AUDIO_BIT_DEPTH", self.audio_bit_depth);
        out.text("DIGITIZER_SAMPLE_RATE", self.digitizer_sample_rate);
        out.halves(
            "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI",
            "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO",
            self.samples_since_midnight,
        );
        out.text("TIMESTAMP_SAMPLE_RATE", self.timestamp_sample_rate);
    }
}

impl IxmlTrack {
    fn write(&self, out: &mut Xml) {
        out.text("CHANNEL_INDEX", self.channel_index);
        out.text("INTERLEAVE_INDEX", self.interleave_index);
        out.text("NAME", self.name.as_ref());
        out.text("FUNCTION", self.function.as_ref());
    }
}

impl FileSet {
    fn write(&self, out: &mut Xml) {
        out.text("TOTAL_FILES", self.total_files);
        out.text("FAMILY_UID", self.family_uid.as_ref());
        out.text("FAMILY_NAME", self.family_name.as_ref());
        out.text("FILE_SET_INDEX", self.file_set_index.as_ref());
    }
}

impl History {
    fn write(&self, out: &mut Xml) {
        out.text("ORIGINAL_FILENAME", self.original_filename.as_ref());
        out.text("PARENT_FILENAME", self.parent_filename.as_ref());
        out.text("PARENT_UID", self.parent_uid.as_ref());
    }
}

impl SyncPoint {
    fn write(&self, out: &mut Xml) {
        out.text("SYNC_POINT_TYPE", self.kind.as_ref());
        out.text("SYNC_POINT_FUNCTION", self.function.as_ref());
        out.text("SYNC_POINT_COMMENT", self.comment.as_ref());
        out.halves("SYNC_POINT_HIGH", "SYNC_POINT_LOW", self.samples);
        out.text("SYNC_POINT_EVENT_DURATION", self.duration);
    }
}

impl BextCopy {
    fn write(&self, out: &mut Xml) {
        out.text("BWF_DESCRIPTION", self.description.as_ref());
        out.text("BWF_ORIGINATOR", self.originator.as_ref());
        out.text(
            "BWF_ORIGINATOR_REFERENCE",
            self.originator_reference.as_ref(),
        );
        out.text("BWF_ORIGINATION_DATE", self.origination_date.as_ref());
        out.text("BWF_ORIGINATION_TIME", self.origination_time.as_ref());
        out.halves(
            "BWF_TIME_REFERENCE_HIGH",
            "BWF_TIME_REFERENCE_LOW",
            self.time_reference,
        );
        out.text("BWF_CODING_HISTORY", self.coding_history.as_ref());
    }
}

/// A document that grows.
struct Xml(String);

impl Xml {
    fn element(&mut self, name: &str, body: impl FnOnce(&mut Self)) {
        self.0.extend(["<", name, ">"]);
        body(self);
        self.0.extend(["</", name, ">\n"]);
    }

    fn text(&mut self, name: &str, value: Option<impl Display>) {
        if let Some(value) = value {
            self.element(name, |out| out.0 += &escaped(&value.to_string()));
        }
    }

    fn truth(&mut self, name: &str, value: Option<bool>) {
        self.text(
            name,
            value.map(|value| if value { "TRUE" } else { "FALSE" }),
        );
    }

    fn halves(&mut self, high: &str, low: &str, value: Option<u64>) {
        self.text(high, value.map(|value| value >> 32));
        self.text(low, value.map(|value| value & u64::from(u32::MAX)));
    }

    fn part<T>(&mut self, name: &str, part: Option<&T>, write: impl FnOnce(&T, &mut Self)) {
        if let Some(part) = part {
            self.element(name, |out| write(part, out));
        }
    }

    /// A list with its length, as iXML has it: `TRACK_LIST`, `TRACK_COUNT`, `TRACK`.
    fn list<T>(&mut self, item: &str, items: &[T], write: fn(&T, &mut Self)) {
        if items.is_empty() {
            return;
        }
        self.element(&format!("{item}_LIST"), |out| {
            out.text(&format!("{item}_COUNT"), Some(items.len()));
            for part in items {
                out.element(item, |out| write(part, out));
            }
        });
    }
}

/// A text as XML holds it. Characters that it cannot hold at all are left out.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            // XML reads a bare one as a line feed.
            '\r' => out.push_str("&#13;"),
            '\t' | '\n' => out.push(character),
            '\u{FFFE}' | '\u{FFFF}' => {}
            other if other.is_control() => {}
            other => out.push(other),
        }
    }
    out
}
