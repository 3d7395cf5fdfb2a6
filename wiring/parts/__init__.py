"""What each kind of part is: terminals, elements, symbol and sheet traits; the generic library; motion formulas.

One kind, one place: no other package asks for the name of a kind. How parts hang together lives in `circuit`.
"""
