# Wörter, die alle Seiten teilen.
link-lost = Keine Verbindung zum Server. Sie wird von selbst wieder versucht.
