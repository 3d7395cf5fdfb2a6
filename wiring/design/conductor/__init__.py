"""What every conductor carries, may carry and loses, and the sizes that are asked of it.

Which device guards a conductor is in `device`; protective conductors are in `earth`.
"""
