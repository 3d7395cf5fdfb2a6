"""Facts of one machine by subject, each computed once: Machine, Operation, Cabinet, Power, ProtectiveDevices, Loading,
Faults, Transients, Earthing, Stopping, in this order; each knows only those before it, and `Design` holds them all.
No verdict and no text of a finding lives here."""
