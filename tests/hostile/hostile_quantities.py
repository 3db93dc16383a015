"""Numbers without end, and quantities that are arithmetic, code, or other people's digits."""

from __future__ import annotations

from hostile_cases import Case, changed, track

# Nothing is worked out: what is no number with a unit cannot be read.
UNREADABLE = {
    "a product": "2*7 V",
    "a power of a power": "10**10**10 V",
    "a sum": "7+7 V",
    "in brackets": "(14.5) V",
    "a call": "\"__import__('os').system('x') V\"",
    "an attribute": '"().__class__ V"',
    "two exponents": "1e9e9 V",
    "a division by zero": "14/0 V",
    "a format": '"{0.__class__} V"',
    "a unit to a huge power": '"14 V^99999999"',
    "a unit over itself": '"14 V/V/V"',
    "units without end": f'"14 {"V*" * 2_000}V"',
    "10,000 digits": f"{'9' * 10_000} V",
    "10,000 digits after the point": f"1.{'0' * 10_000} V",
    "10,000 points": f"{'1.' * 10_000} V",
    "10,000 signs": f'"{"-" * 10_000}1 V"',
    "infinite": ".inf V",
    "no number": ".nan V",
    "beyond any float": "1e400 V",
    "below any float": "1e-400 V",
    "an exponent of ten digits": "1e9999999999 V",
    "hexadecimal": "0x0e V",
    "underscores": "1_4 V",
    "full-width digits": "\uff11\uff14 V",
    "Arabic digits": "\u0661\u0664 V",
    "superscript digits": "1\u2074 V",
    "a fraction sign": "14\u00bd V",
}
QUANTITIES: dict[str, Case] = {
    "a voltage that has a Kelvin sign": track("14 \u212a", "2:17 wrong-unit"),
    **{
        f"a voltage that is {name}": track(written, f"2:{17 + written.startswith(chr(34))} unreadable-quantity")
        for name, written in UNREADABLE.items()
    },
    "a number of an output of 10,000 digits": changed("number: 1,", f"number: {'1' * 10_000},", "3:60 wrong-shape"),
    "a key of 10,000 digits": changed("F0:", f"F{'0' * 10_000}:", "9:3 syntax-error"),
    "a highest key of 5,000 digits": changed("highest: 28", f"highest: {'9' * 5_000}", "3:111 wrong-shape"),
    "a version of 5,000 digits": changed("vehicle", f"lampwright: {'9' * 5_000}\nvehicle", "1:1 unknown-key"),
    "an address of 10,000 digits": changed("switcher 7", f"switcher 7, address: {'3' * 10_000}", "1:45 wrong-shape"),
    "resistor of arithmetic": changed("1.5 kohm 1/4 W", "1.5 kohm 1/0 W", "7:30 unreadable-quantity"),
    "a resistor of minus": changed("1.5 kohm 1/4 W", "-1.5 kohm", "7:21 unreadable-quantity"),
    "a share of arithmetic": changed("14.5 V", "14.5 V, tolerance: 10**9 %", "2:25 unknown-key"),
}
