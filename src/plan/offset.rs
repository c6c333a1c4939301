//! Offsets from UTC as they are shown.

/// An offset from UTC in seconds, as `UTC−02:00`; `UTC` for none.
#[must_use]
pub(crate) fn offset_shown(seconds: i32) -> String {
    let sign = if seconds < 0 { '\u{2212}' } else { '+' };
    let minutes = seconds.abs() / 60;
    match seconds {
        0 => "UTC".to_owned(),
        _ => format!("UTC{sign}{:02}:{:02}", minutes / 60, minutes % 60),
    }
}
