"""Published growth of waves with fetch, side by side (docs/reference/models, section 5).

    python waves.py

draws docs/figures/waves.svg and writes the table of that section.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

G = 9.80665
PEAK = 1 / 0.95


def held(a, b):
    """tanh(a) tanh(b / tanh(a)); a without end is deep water."""
    t = 1.0 if a is None else np.tanh(a)
    return t * np.tanh(b / t)


def dimless(u, f, d):
    return G * f / u**2, None if d is None else G * d / u**2


def power(delta, factor, exponent):
    return None if delta is None else factor * delta**exponent


def breugem_holthuijsen(u, f, d):
    chi, delta = dimless(u, f, d)
    h = 0.24 * held(power(delta, 0.343, 1.14), 4.41e-4 * chi**0.79) ** 0.572
    t = 7.69 * held(power(delta, 0.10, 2.01), 2.77e-7 * chi**1.45) ** 0.187
    return h * u**2 / G, t * u / G


def young_verhagen(u, f, d):
    chi, delta = dimless(u, f, d)
    eps = 3.64e-3 * held(power(delta, 0.493, 0.75), 0.00313 * chi**0.57) ** 1.74
    nu = 0.133 * held(power(delta, 0.331, 1.01), 5.215e-4 * chi**0.73) ** -0.37
    return 4 * u**2 / G * np.sqrt(eps), u / (G * nu)


def coastal_manual(u, f, d):
    star = u * np.sqrt(0.001 * (1.1 + 0.035 * u))
    x = G * f / star**2
    h = np.minimum(0.0413 * np.sqrt(x), 211.5) * star**2 / G
    t = np.minimum(0.651 * np.cbrt(x), 239.8) * star / G
    return h, t if d is None else np.minimum(t, 9.78 * math.sqrt(d / G))


def jonswap(u, f, d):
    chi, _ = dimless(u, f, d)
    return 4 * np.sqrt(1.6e-7 * chi) * u**2 / G, chi**0.33 / 3.5 * u / G


def kahma_calkoen(u, f, d):
    chi, _ = dimless(u, f, d)
    return 4 * np.sqrt(5.2e-7 * chi**0.9) * u**2 / G, 2 * math.pi / 13.7 * chi**0.27 * u / G


def wilson(u, f, d):
    chi, _ = dimless(u, f, d)
    h = 0.30 * (1 - (1 + 0.004 * np.sqrt(chi)) ** -2.0)
    t = 2 * math.pi * 1.37 * (1 - (1 + 0.008 * np.cbrt(chi)) ** -5.0)
    return h * u**2 / G, PEAK * t * u / G


def sverdrup_munk_bretschneider(u, f, d):
    chi, delta = dimless(u, f, d)
    h = 0.283 * held(power(delta, 0.530, 0.75), 0.0125 * chi**0.42)
    t = 2 * math.pi * 1.20 * held(power(delta, 0.833, 0.375), 0.077 * chi**0.25)
    return h * u**2 / G, PEAK * t * u / G


def shore_manual_1984(u, f, d):
    a = 0.71 * u**1.23
    chi, _ = dimless(a, f, d)
    return (
        np.minimum(0.0016 * np.sqrt(chi), 0.2433) * a**2 / G,
        np.minimum(0.2857 * np.cbrt(chi), 8.134) * a / G,
    )


def donelan(u, f, d):
    chi, _ = dimless(u, f, d)
    return 0.00366 * chi**0.38 * u**2 / G, 0.542 * chi**0.23 * u / G


METHODS = {
    "Wilson 1965": wilson,
    "JONSWAP 1973": jonswap,
    "Sverdrup, Munk & Bretschneider": sverdrup_munk_bretschneider,
    "Shore Protection Manual 1984": shore_manual_1984,
    "Donelan et al. 1985": donelan,
    "Kahma & Calkoen 1992": kahma_calkoen,
    "Young & Verhagen 1996": young_verhagen,
    "Coastal Engineering Manual": coastal_manual,
    "Breugem & Holthuijsen 2007": breugem_holthuijsen,
}
OURS = "Breugem & Holthuijsen 2007"


def middle(u, f):
    """Median height of the other methods in deep water."""
    return np.median([m(u, f, None)[0] for name, m in METHODS.items() if name != OURS], axis=0)


def table():
    columns = ((5, 500), (5, 2000), (8, 1000), (10, 500), (10, 5000), (15, 2000), (15, 20000))
    lines = ["| method | " + " | ".join(f"{u} m/s, {f / 1000:g} km" for u, f in columns) + " |"]
    lines.append("|---|" + "---|" * len(columns))
    rows = {name: [float(m(u, f, None)[0]) for u, f in columns] for name, m in METHODS.items()}
    rows["middle of the first eight"] = [float(middle(u, f)) for u, f in columns]
    for name in [n for n in rows if n not in (OURS, "middle of the first eight")] + ["middle of the first eight", OURS]:
        lines.append(f"| {name} | " + " | ".join(f"{h:.3f}" for h in rows[name]) + " |")
    return "\n".join(lines)


# Each line has a dash of its own and its name at its end: nothing is told by colour.
DASHES = ("2 3", "8 3", "8 3 2 3", "14 4", "1 2", "5 2", "10 2 2 2 2 2", "4 4", "")
WINDS = (4, 8, 12)
WIDE, HIGH, LEFT, TOP = 300, 260, 46, 40


def figure():
    fetches = 200 * 100 ** (np.arange(61) / 60)
    parts = []
    write = parts.append
    width, height = LEFT + len(WINDS) * (WIDE + 30), TOP + HIGH + 150
    write(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        'font-family="sans-serif" font-size="12" fill="#111">'
    )
    write("<title>Significant wave height by nine published methods over fetch</title>")
    write(
        "<desc>Heights in deep water, each over the middle of the eight methods that are not used, for winds of "
        "4, 8 and 12 m/s and fetches of 0.2 to 20 km. The method that is used lies above 1 throughout.</desc>"
    )
    write(f'<rect width="{width}" height="{height}" fill="#fff"/>')
    low, high = 0.7, 1.7
    y = lambda share: TOP + HIGH * (high - share) / (high - low)
    for panel, u in enumerate(WINDS):
        left = LEFT + panel * (WIDE + 30)
        x = lambda f: left + WIDE * np.log(f / 200) / math.log(100)
        write(f'<text x="{left}" y="{TOP - 12}">wind of {u} m/s at 10 m</text>')
        for share in np.arange(low, high + 0.01, 0.1):
            heavy = abs(share - 1) < 0.01
            write(
                f'<path d="M{left} {y(share):.1f}h{WIDE}" stroke="{"#111" if heavy else "#ddd"}" stroke-width="1"/>'
            )
            if panel == 0:
                write(f'<text x="{left - 8}" y="{y(share) + 4:.1f}" text-anchor="end">{share:.1f}</text>')
        for f in (200, 500, 1000, 2000, 5000, 10000, 20000):
            write(f'<path d="M{x(f):.1f} {TOP}v{HIGH}" stroke="#ddd" stroke-width="1"/>')
            write(f'<text x="{x(f):.1f}" y="{TOP + HIGH + 16}" text-anchor="middle">{f / 1000:g}</text>')
        base = middle(u, fetches)
        for (name, method), dash in zip(METHODS.items(), DASHES):
            share = method(u, fetches, None)[0] / base
            points = "L".join(f"{x(f):.1f} {y(min(s, high)):.1f}" for f, s in zip(fetches, share))
            stroke = "3" if name == OURS else "1.3"
            dashes = f' stroke-dasharray="{dash}"' if dash else ""
            write(f'<path d="M{points}" fill="none" stroke="#111" stroke-width="{stroke}"{dashes}/>')
    write(f'<text x="{LEFT}" y="{TOP + HIGH + 36}">fetch in km; height over the middle of the eight methods not used</text>')
    for number, (name, dash) in enumerate(zip(METHODS, DASHES)):
        left, top = LEFT + (number % 3) * (WIDE + 30), TOP + HIGH + 62 + (number // 3) * 24
        stroke = "3" if name == OURS else "1.3"
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        write(f'<path d="M{left} {top}h44" stroke="#111" stroke-width="{stroke}"{dashes}/>')
        used = ", used" if name == OURS else ""
        write(f'<text x="{left + 52}" y="{top + 4}">{name.replace("&", "&amp;")}{used}</text>')
    write("</svg>")
    return "\n".join(parts) + "\n"


def main():
    docs = Path(__file__).resolve().parent / "../../docs"
    (docs / "figures").mkdir(exist_ok=True)
    (docs / "figures/waves.svg").write_text(figure(), encoding="utf-8")
    models = (docs / "reference/models/wind-and-waves.md").read_text(encoding="utf-8")
    start = models.index("| method | 5 m/s") if "| method | 5 m/s" in models else models.index("<!-- waves -->")
    end = models.index("\n\n", start)
    (docs / "reference/models/wind-and-waves.md").write_text(models[:start] + table() + models[end:], encoding="utf-8")
    over = [breugem_holthuijsen(u, f, None)[0] / middle(u, f) for u in np.arange(3, 15.1, 0.5) for f in 200 * 100 ** (np.arange(41) / 40)]
    print(f"over the middle: {min(over):.3f} to {max(over):.3f}")


if __name__ == "__main__":
    main()
