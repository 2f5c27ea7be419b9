//! x
#![allow(dead_code)]
mod decimal; mod value; mod fault; mod syntax;

#[cfg(test)]
mod tests {
    #[test]
    fn dbg() {
        for l in ["", "10:00:00:00 +", "+ 3", "3 +* 4", "90 framse", "90 frames 3", "(3", "3)", "from", "from 10:00:00:00", "from 10:00:00:00 to", "take 1", "take =", "3,5 s", "at 24", "at 24: ", "10:00:00:00 at", "3 in", "3 as", "3 in samples at", "3 counted", "3 counted as x", "3 s in foo", "3 s in full 3", "frames = 3", "10:00:00:00 lang", "10:00:00:00 at 24 drp", "3 samples at 48 kHz pulled", "3 samples at 48 kHz pulled sideways", "a = b = c", "é = 3", "1..2", "# x", "3 # x", "$", "3 $", "-", "()", "3 s s", "1 h 30"] {
            eprintln!("{l:?}: {:?}", super::syntax::statement(l).map(|s| s.is_some()));
        }
    }
}
