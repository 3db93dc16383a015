"""What each of the four kinds of file may say, declared as shapes, and how a tree is read by them.

The only floor that knows pydantic: `schema` makes pydantic models of the shapes, and of those the JSON Schemas in
`schemas/`. A tree goes in, shapes with places and problems come out; nothing is computed, no other file is known.
"""
