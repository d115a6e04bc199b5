feed-runs = Dieser Server läuft. Was er bietet:
health-is = ob er sein Journal schreiben kann
metrics-are = Zähler für Prometheus
socket-is = der WebSocket, für Anzeigen und andere Programme
