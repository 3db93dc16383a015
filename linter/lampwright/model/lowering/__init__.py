"""From what is written to what is meant: names resolved, defaults filled in, places kept.

Each file lowers one part. Names that are not defined become problems; a thing that is broken stays a broken thing
with a name, so that one mistake is one finding.
"""
