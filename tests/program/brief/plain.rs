//! What the page says in plain words: winds by direction, drifts with their times, cautions.

use super::page;

#[test]
fn the_rows_of_wind_limits_leave_no_direction_between_them() {
    let page = page("lines-across-the-wind");
    let from = page.find("Strongest wind").unwrap();
    let card = &page[from..from + page[from..].find("</table>").unwrap()];
    let rows = card.split("<th scope=\"row\">").skip(1);
    let rows: Vec<(&str, &str)> = rows
        .map(|row| {
            row.split_once("</th>")
                .unwrap()
                .0
                .split_once(" to ")
                .unwrap()
        })
        .collect();
    assert!(rows.len() > 1, "{card}");
    for (index, (_, to)) in rows.iter().enumerate() {
        assert_eq!(*to, rows[(index + 1) % rows.len()].0, "{rows:?}");
    }
}

#[test]
fn a_drift_says_by_how_much_the_safety_boat_is_late_or_sooner() {
    let mut late = 0;
    for mission in ["adrift-above-the-weir", "lines-across-the-wind"] {
        let page = page(mission).replace('\u{a0}', " ");
        let from = page.find("adrift, disabled").unwrap();
        let rows = &page[from..from + page[from..].find("</table>").unwrap()];
        for one in rows.split("<div class=\"told\">").skip(1) {
            let one = one.split_once("</div>").unwrap().0;
            if one.contains(" after ") {
                assert!(one.contains("safety boat"), "{mission}: {one}");
            }
        }
        late += rows.matches(" too late").count();
    }
    assert!(late > 0);
}

#[test]
fn cautions_are_plain_and_the_pack_is_among_them() {
    let page = page("lines-across-the-wind");
    for words in [
        "Never follow a boat towards a weir or an intake.",
        "two people in buoyancy aids",
        "Lithium packs",
        "signatures needed",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(!page.contains("is let go"));
}
