"""What may stand in a field: right, almost right, and nonsense."""

from __future__ import annotations

from test_hostile_texts import HOSTILE

HOSTILE_NAMES = [
    *HOSTILE.values(), "x" * 300, "", " ", "0805", "1 kohm", "F0", "forward", "off", "null", "~", "12:30", "[", "}", "a: b",
    "- a", "#", "&a", "*a", "!a", "%a", "@a", "|", "e\u0301", "\u00e9", "\ufb01", "\u212b", "white", "White", "not F3",
]  # fmt: skip
LAMPS = [
    "front headlamp",
    "rear headlamp",
    "left ditch lamp",
    "right ditch lamp",
    "cab lamp",
    "marker lamp",
    "Stirnlampe 2",
    "車 lamp",
]
OUTPUTS = ["white", "yellow", "green", "violet", "brown", "aux4", "aux 1", "Aux-2"]
PARTS = ["warm white 0603", "micro bulb 1.5 V", "red 3 mm"]
KEYS = ["F0", "F1", "F3", "F4", "F5", "F9", "F12", "F13", "F28", "F68"]
LABELS = ["Headlamps", "Ditch lamps", "Cab", "Führerstand", "Oscillating lamp"]
EFFECTS = ["steady", "oscillating", "firebox flicker", "alternating flash", "beacon"]
COLOURS = ["red", "warm white", "yellow", "blue", "infrared", "grün", "white"]
WORDS = ["forward", "reverse", "moving", "stopped", *KEYS[:6]]

RIGHT: dict[str, list[str]] = {
    "supply": ["14.5 V", "16 V", "13 V to 16 V", "12 V", "22 V", "18.0 V"],
    "forward": ["3.0 V", "1.9 V to 2.2 V", "2 V", "2.8 V to 3.4 V"],
    "lamp voltage": ["12 V", "1.5 V", "6 V", "14 V", "16 V", "3 V"],
    "lamp current": ["20 mA", "7 mA", "40 mA", "15 mA", "1 mA", "0.5 mA", "100 mA"],
    "limit": ["100 mA", "500 mA", "1 A", "0.5 mA", "20 mA", "30 mA", "2 A"],
    "small voltage": ["0.7 V", "1.4 V", "2 V", "0.9 V to 1.4 V"],
    "ohms": ["1.5 kohm", "820 ohm", "4k7", "100 ohm", "470R", "0R47", "1 Mohm", "0 ohm", "2.7 kΩ", "10 ohm"],
    "rating": ["1/4 W", "1/2 W", "125 mW", "1 W", "5 W"],
    "tolerance": ["5 %", "1 %", "0.1 %", "10 %", "0 %"],
    "share": ["40 %", "100 %", "1 %", "0 %", "66.6 %"],
    "rate": ["60 per minute", "20 per minute", "120 per minute"],
    "rates": ["30 to 120 per minute", "60 per minute"],
    "temperature": ["40 °C", "20 °C", "70 °C"],
    "reading": ["12.9 V", "2.9 V", "0 V", "14 V", "1.95 V", "0.01 V"],
    "amperes read": ["6.6 mA", "20.3 mA", "0 mA", "0.1 mA", "150 mA"],
    "size": ["0805", "1206", "0402"],
    "yes": ["true", "false"],
    "number": ["1", "2", "3", "7", "8", "12", "14"],
    "code": ["0", "1", "2", "3", "7", "8", "9", "15", "63", "255"],
    "cv": ["121", "142", "33", "49", "1", "8", "29", "1024", "257", "300"],
    "stock": ["0", "1", "2", "40", "100"],
    "address": ["3", "42", "127", "128", "2107", "10239"],
}  # fmt: skip
ALMOST = [
    "12 v", "12 Volts", "12,5 V", "12.5V", "12 mA", "12", "-12 V", "1e3 V", "0 V", "999 kV", "12 V - 14 V", "14 V to 12 V", "12 V to 14", "½ V",
    "20 ma", "20 milliamps", "0.02 A", "20 MA", "1.5 k", "1.5 Kohm", "1.5 kilohm", "1k5 1/4W", "1/3 W", "250", "5%", "5 percent", "0.05",
    "60/min", "60 rpm", "1 Hz", "30 - 120 per minute", "40 C", "104 °F", "805", "SMD 0805", "yes", "True", "on", "one", "-1", "1.0", "07", "256",
    "1025", "F69", "f0", "F 0", "not not F0", "F0 and F1", "forwards", "backward", "!F0", "wite", "whte", "fwd", "tens and ones", "7 to 0", "0-7",
    "4294967296", "1 to 2", "0 to 7", "12 V to 14 V to 16 V", "⅛ W", "2 × 3 V", "~ 12 V", "12 V?", "<= 20 mA", "+5 V", "5 %%", "1_000 ohm",
]  # fmt: skip
NONSENSE = [
    "",
    "null",
    "x",
    ".inf",
    ".nan",
    "0x10",
    "2026-11-26",
    "=1+1",
    "9" * 400,
    "1" + "0" * 320 + " V",
    "V",
    "%",
    "{}",
    "[]",
]
NAMES_OF_KEYS = {
    "plan": ["lighting-plan", "vehicle", "supply", "decoder", "parts", "lamps", "common", "outputs", "keys", "always"],
    "more": [
        "name", "scale", "address", "shell", "reversed", "consist", "motor", "socket", "inside", "set", "track", "part", "bulb", "led", "voltage",
        "current", "tolerance", "maximum-voltage", "forward-voltage", "at", "maximum-current", "colour", "built-in-resistor", "circuit", "return",
        "measured", "effect", "brightness", "rate", "lamp", "resistor", "parallel", "series", "diode", "current-regulator", "needs", "board",
        "driver", "limit", "label", "momentary", "turns-on", "output", "when", "any", "drop", "regulated", "limits", "number", "surge", "logic-level",
        "highest", "mapping", "fixed", "code", "codes", "pairs", "registers", "cv", "holds", "what", "digit", "bits", "page", "default", "value",
        "rating", "size", "stock", "pack", "resistors", "margins", "levels", "exclude", "order", "spares", "meter", "across", "interface", "first",
    ],
}  # fmt: skip
EVERY_KEY = [*NAMES_OF_KEYS["plan"], *NAMES_OF_KEYS["more"]]
