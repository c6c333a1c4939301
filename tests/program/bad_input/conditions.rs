//! What the conditions of a mission can have wrong: one wind, or a forecast.

use super::cases::{case, run};
use super::tree::{Files, mission};

#[test]
fn wind() {
    let id = "long-run-downwind";
    let file = &mission(id);
    let base = Files::demo(&[id]);
    let told = run(
        &base,
        &[
            case(
                "a gust below the mean",
                file,
                "gust: 7.5 m/s",
                "gust: §4 m/s",
            ),
            case("a negative mean", file, "mean: 4.5 m/s", "mean: §-4.5 m/s"),
            case(
                "a gust past any storm",
                file,
                "gust: 7.5 m/s",
                "gust: §300 m/s",
            ),
            case("a bearing in words", file, "from: 255°", "from: §westerly"),
            case(
                "a bearing without its sign",
                file,
                "from: 255°",
                "from: §255",
            ),
            case("a negative bearing", file, "from: 255°", "from: §-15°"),
            case(
                "a spread past half a turn",
                file,
                "spread: 20°",
                "spread: §190°",
            ),
            case("a negative spread", file, "spread: 20°", "spread: §-20°"),
            case("a height of nothing", file, "height: 10 m", "height: §0 m"),
            case(
                "a wind that begins after the launch",
                file,
                "height: 10 m }",
                "height: 10 m, duration: §20 min }",
            ),
            case(
                "a wind that blows for no time",
                file,
                "height: 10 m }",
                "height: 10 m, duration: §0 h }",
            ),
            case("no mean", file, "mean: 4.5 m/s, ", "").and(file, "wind:", "§wind:"),
            case("no direction", file, "from: 255°, ", "").and(file, "wind:", "§wind:"),
            case(
                "no wind at all",
                file,
                "  wind: { from: 255°, spread: 20°, mean: 4.5 m/s, gust: 7.5 m/s, height: 10 m }\n",
                "",
            )
            .and(file, "conditions:", "§conditions:"),
            case(
                "water past boiling",
                file,
                "water_temperature: 20 °C",
                "water_temperature: §120 °C",
            ),
            case(
                "a temperature as an angle",
                file,
                "water_temperature: 20 °C",
                "water_temperature: §20°",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn forecast() {
    let id = "dam-to-bay-transects";
    let file = &mission(id);
    let base = Files::demo(&[id]);
    let last = "      - { time: 2027-06-22T11:00, from: 260°, mean: 3.1 m/s, gust: 7.5 m/s }\n";
    let ten = "      - { time: 2027-06-22T10:00, from: 260°, mean: 3 m/s, gust: 7 m/s }\n";
    let nine = "- { time: 2027-06-22T09:00,";
    let told = run(
        &base,
        &[
            case(
                "no latest return to follow it to",
                file,
                "  latest_return: 2027-06-22T10:30\n",
                "",
            )
            .and(file, "forecast:", "§forecast:"),
            case(
                "by another clock than the site's",
                file,
                "issued: 2027-06-22T05:00",
                "issued: §2027-06-22T09:00+02:00",
            ),
            case(
                "expires before the return",
                file,
                "valid_until: 2027-06-22T17:00",
                "valid_until: §2027-06-22T10:00",
            ),
            case(
                "issued after it runs out",
                file,
                "issued: 2027-06-22T05:00",
                "issued: §2027-06-22T18:00",
            ),
            case(
                "issued after the launch",
                file,
                "issued: 2027-06-22T05:00",
                "issued: §2027-06-22T09:00",
            ),
            case(
                "hours out of order",
                file,
                nine,
                "- { time: §2027-06-22T07:00,",
            ),
            case("an hour twice", file, nine, "- { time: §2027-06-22T08:00,"),
            case(
                "begins after the launch",
                file,
                "      - { time: 2027-06-22T08:00, from: 250°, mean: 2.5 m/s, gust: 5.5 m/s }\n",
                "",
            )
            .and(file, "forecast:", "§forecast:"),
            case("ends before the return", file, &format!("{ten}{last}"), "").and(
                file,
                "forecast:",
                "§forecast:",
            ),
            case("a gap in the hours", file, ten, "")
                .and(file, nine, "- { time: 2027-06-22T08:30,")
                .and(
                    file,
                    last,
                    "      - { time: §2027-06-22T14:00, from: 260°, mean: 3.1 m/s, gust: 7.5 m/s }\n",
                ),
            case(
                "a gust below the mean",
                file,
                "mean: 3 m/s, gust: 7 m/s",
                "mean: 3 m/s, gust: §2 m/s",
            ),
            case(
                "an hour without its gust",
                file,
                "- { time: 2027-06-22T10:00, from: 260°, mean: 3 m/s, gust: 7 m/s }",
                "- { §time: 2027-06-22T10:00, from: 260°, mean: 4.5 m/s }",
            ),
            case("no hours", file, "hours:\n", "hours: §[]\n    rest:\n").and(
                file,
                "    rest:",
                "    §rest:",
            ),
            case("a wind and a forecast", file, "    source:", "    source:").and(
                file,
                "conditions:\n",
                "§conditions:\n  wind: { from: 240°, mean: 3 m/s }\n",
            ),
            case(
                "a time that is none",
                file,
                "issued: 2027-06-22T05:00",
                "issued: §this morning",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}
