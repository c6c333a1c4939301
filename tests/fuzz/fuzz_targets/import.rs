//! Any bytes as a file of a shoreline, soundings, an area or a forecast: each importer takes or refuses them.

#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::door::import::try_every_import;

fuzz_target!(|bytes: &[u8]| {
    let _ = try_every_import(bytes);
});
