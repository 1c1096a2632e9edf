"""How the user steers: another check, what is passed over or coming, lists as people type them."""
