"""What each of the four kinds of file may say, as pydantic shapes: the source of the JSON Schemas in `schemas/`.

The only floor that knows pydantic. A tree goes in, shapes with places and problems come out; nothing is computed,
no other file is known.
"""
