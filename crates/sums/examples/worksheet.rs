//! Works out the lines of standard input as a sheet: rate, counting and sample rate are arguments.
//!
//! `printf '90 frames in seconds' | cargo run -q -p plumbline-sums --example worksheet 25 non-drop`

use std::io::Read;

use plumbline_sums::worksheet::{Worksheet, worksheet};

fn main() -> std::io::Result<()> {
    let mut sheet = Worksheet::default();
    let fields = [&mut sheet.rate, &mut sheet.counting, &mut sheet.sample_rate];
    for (field, argument) in fields.into_iter().zip(std::env::args().skip(1)) {
        *field = argument;
    }
    std::io::stdin().read_to_string(&mut sheet.text)?;
    let worked = worksheet(&sheet);
    println!("{}", serde_json::to_string_pretty(&worked)?);
    Ok(())
}
