//! A file's header against the one that was asked for.

use plumbline_media::write::Recording;
use plumbline_media::{Bext, Header, Ixml, SampleFormat};
use plumbline_words::thousands;

use super::difference::Difference;

/// What differs in how the sound is written.
pub(super) fn sound(header: &Header, wanted: &Recording, begins: u64) -> Option<Difference> {
    let format = SampleFormat::from(wanted.encoding);
    let number =
        |what, found: u64, wanted: u64| differs(what, &found, &wanted, |number| thousands(*number));
    number(
        "the sample rate",
        header.sample_rate.into(),
        wanted.sample_rate.into(),
    )
    .or_else(|| number("channels", header.channels().into(), wanted.channels.into()))
    .or_else(|| {
        differs("a sample", &header.format(), &Some(format), |format| {
            let Some(format) = format else {
                return "compressed".to_owned();
            };
            let kind = if format.encoding().is_float() {
                " in floating point"
            } else {
                ""
            };
            format!("{} bits{kind}", format.valid_bits())
        })
    })
    .or_else(|| number("the first byte of sound", header.data().start, begins))
    .or_else(|| {
        number(
            "the number of samples",
            header.sample_frames,
            wanted.sample_frames,
        )
    })
}

/// What differs in what the file says of itself.
pub(super) fn metadata(header: &Header, wanted: &Recording) -> Option<Difference> {
    let other = |what, same: bool| (!same).then_some(Difference::Metadata(what));
    let bext = |bext: &Option<Bext>| Some(bext.as_ref()?.time_reference);
    let ixml = |ixml: &Option<Ixml>| ixml.as_ref()?.speed.as_ref()?.samples_since_midnight;
    start("bext", bext(&header.bext), bext(&wanted.bext))
        .or_else(|| start("iXML", ixml(&header.ixml), ixml(&wanted.ixml)))
        .or_else(|| other("bext", header.bext == wanted.bext))
        .or_else(|| other("iXML", header.ixml == wanted.ixml))
}

fn start(what: &'static str, found: Option<u64>, wanted: Option<u64>) -> Option<Difference> {
    differs(what, &found, &wanted, |samples| match samples {
        Some(samples) => format!("{} samples since midnight", thousands(*samples)),
        None => "no start time".to_owned(),
    })
}

fn differs<T: PartialEq>(
    what: &'static str,
    found: &T,
    wanted: &T,
    shown: impl Fn(&T) -> String,
) -> Option<Difference> {
    (found != wanted).then(|| Difference::Says {
        what,
        found: shown(found),
        wanted: shown(wanted),
    })
}
