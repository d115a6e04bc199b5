feed-runs = Este servidor está en marcha. Lo que ofrece:
health-is = si puede escribir su registro
metrics-are = contadores para Prometheus
socket-is = el WebSocket, para pantallas y otros programas
