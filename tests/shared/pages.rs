//! Pages for the water, of the demo as it is and changed.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::demo_tree::orders_named_in;

/// Runs the program in the demo.
pub fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(super::copied::unchanged())
        .output()
        .unwrap()
}

/// The page of a mission in a folder of plans.
pub fn page_in(plans: &Path, mission: &str) -> String {
    let output = offing(&["brief", mission, "--plans", plans.to_str().unwrap()]);
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{told}");
    String::from_utf8(output.stdout).unwrap()
}

/// The page of a mission of the demo, made once.
pub fn page(mission: &str) -> String {
    type Page = Arc<OnceLock<String>>;
    static PAGES: Mutex<BTreeMap<String, Page>> = Mutex::new(BTreeMap::new());
    // While one page is made, others may be.
    let mut pages = PAGES.lock().unwrap_or_else(PoisonError::into_inner);
    let page = Page::clone(pages.entry(mission.to_owned()).or_default());
    drop(pages);
    page.get_or_init(|| page_in(&demo(), mission)).clone()
}

pub fn demo() -> PathBuf {
    super::copied::unchanged().join("plans")
}

/// A copy of the demo with some texts of its files put in place of others.
pub fn edited(edits: &[(&str, &str, &str)]) -> tempfile::TempDir {
    let folder = super::scratch::folder().unwrap();
    copy(&demo(), folder.path());
    for (file, before, after) in edits {
        let mut path = folder.path().join(file);
        let mut text = std::fs::read_to_string(&path).unwrap();
        // What a mission leaves to its orders is edited there.
        if !text.contains(before)
            && let Some(orders) = orders_named_in(&text)
        {
            path = folder.path().join(orders);
            text = std::fs::read_to_string(&path).unwrap();
        }
        assert!(text.contains(before), "{file} holds no `{before}`");
        std::fs::write(&path, text.replacen(before, after, 1)).unwrap();
    }
    folder
}

pub fn copy(from: &Path, to: &Path) {
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            std::fs::create_dir_all(&target).unwrap();
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}
