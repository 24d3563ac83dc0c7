"""One way from content folders to everything that is built; shared by the command and the plugin.

`check` reads and checks the cards; `build` makes the whole site in memory.
"""
