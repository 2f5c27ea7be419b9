//! How long ago something was.

use plumbline_words::seconds as length;

/// "5 s", "12 min 05 s".
pub(crate) fn whole_seconds(seconds: f64) -> String {
    let whole = seconds.floor();
    if whole < 60.0 {
        format!("{whole} s")
    } else {
        length(whole)
    }
}
