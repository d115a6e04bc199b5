feed-runs = Dieser Server läuft. Was er bietet:
health-is = ob er sein Journal schreiben kann
metrics-are = Zähler für Prometheus
socket-is = der WebSocket, für Anzeigen und andere Programme
announcer-is = die Seite der Ansage: wer führt, wer in den letzten fünf ist, wer als Nächstes kommt
floor-is = die Seite der Regie: was die Anzeigen zeigen
judge-is = die Seite der Bahnrichter: zählt eine Bahn auf einem Telefon
probe-is = wie spät eine Wand ist, mit der Kamera eines Telefons
