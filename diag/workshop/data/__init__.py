"""What people write about the world: faults, what findings read, what repairs do, and numbers.

Each module has the `DataTable` of its entries, and makes of entries as read what the world takes,
or says what is wrong with them as `Problem`s. Only here are names in files looked up among the
parts.
"""
