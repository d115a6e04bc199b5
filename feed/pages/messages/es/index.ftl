feed-runs = Este servidor está en marcha. Lo que ofrece:
health-is = si puede escribir su registro
metrics-are = contadores para Prometheus
socket-is = el WebSocket, para pantallas y otros programas
announcer-is = la página de locución: quién va en cabeza, quién está en las últimas cinco, quién viene después
floor-is = la página de realización: lo que muestran las pantallas
judge-is = la página del juez de carril: cuenta un carril en un teléfono
probe-is = cuánto se retrasa una pantalla, con la cámara de un teléfono
