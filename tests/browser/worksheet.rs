//! The worksheet of the pages on measuring, as it is printed.

use std::path::Path;

use super::brief::sheets;
use super::chromium::run;

#[test]
fn it_prints_on_two_sheets_and_says_nothing_on_the_console() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/how-to/measuring/worksheet.html");
    let folder = tempfile::tempdir().unwrap();
    let pdf = folder.path().join("worksheet.pdf");
    let print = format!("--print-to-pdf={}", pdf.display());
    // With the browser's own header and footer, which take room, and without.
    for more in [None, Some("--no-pdf-header-footer")] {
        let mut options = vec![print.as_str()];
        options.extend(more);
        let ran = run(&options, &file);
        assert_eq!(ran.console, Vec::<String>::new());
        assert_eq!(sheets(&std::fs::read(&pdf).unwrap()), 2, "{more:?}");
    }
}
