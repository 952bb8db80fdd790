"""Many borings and many shafts: which boring decides where, the takeoff, casing strings and the yard, hours and cost."""
