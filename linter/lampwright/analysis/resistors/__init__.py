"""Which resistor cures an output: preferred values, circuits with one changed, pairs, the smallest that fits."""
