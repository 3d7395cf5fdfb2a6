"""Facts of one machine by subject, each computed once: Machine, Operation, Cabinet, Power, ProtectiveDevices, Loading,
Faults, Transients, Earthing, Stopping, in this order; each knows only those before it, and `Design` holds them all.

Each folder is a subject; what all of them stand on is here. Modules that know the whole `Design` hold what one rule or
a few ask of it. No verdict and no text of a finding lives here: they are said in `rules`.
"""
