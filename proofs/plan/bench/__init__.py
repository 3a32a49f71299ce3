"""After cutting: boards to buy, prints to mount, labels, parcels, and the timetable."""
