//! The worksheet of the pages on measuring, as it is printed.

use std::path::Path;

use super::brief::sheets;
use super::chromium::print_file;

#[test]
#[ignore = "slow"]
fn it_prints_on_two_sheets_and_says_nothing_on_the_console() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/how-to/measuring/worksheet.html");
    // With the browser's own header and footer, which take room, and without.
    for header_and_footer in [true, false] {
        let printed = print_file(&file, header_and_footer);
        assert_eq!(printed.console, Vec::<String>::new());
        assert_eq!(sheets(&printed.pdf), 2, "{header_and_footer}");
    }
}
