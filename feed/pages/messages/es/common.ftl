# Palabras que comparten todas las páginas.
link-lost = Sin conexión con el servidor. Se vuelve a intentar sola.

## Entrar con una clave de acceso.
entry-title = Clave de acceso
entry-key = Clave de acceso de tu función
entry-go = Entrar
entry-hint = La tiene quien dirige el evento. Un enlace o código que la lleva abre esta página enseguida.
entry-wrong = Esta clave no abre esta página. Compruébala o pregunta a quien dirige el evento.

## Estados de una serie.
state-lanes-set = carriles listos
state-on-deck = preparados
state-countdown = cuenta atrás
state-running = en marcha
state-held = en pausa
state-time-called = tiempo
state-provisional = provisional
state-signed = oficial
state-cancelled = anulada
