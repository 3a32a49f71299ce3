"""One entry, decided: its pictures, their sizes, and where everything lies on the board."""
