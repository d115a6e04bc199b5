# La página de locución. Para qué sirve cada mensaje está en el archivo inglés.
title = Locución · Fivemark

## La cabecera.
cap = límite { $time }
window = AMRAP · ventana { $time }
window-attempts = ventana { $time }
left = quedan { $time }
starts-in = empieza en { $seconds } s
held-means = Parado. Espera al juez principal.
cancelled-means = Esta salida de la serie no cuenta.
runs-again = El carril { $lane } repite; los resultados de los demás se mantienen.
not-recording = El servidor no puede registrar: no se cuenta nada nuevo.
clock-in-doubt = El reloj aún no está confirmado.
age-seconds = hace { $seconds } s
age-minutes = hace { $minutes } min

## Las listas.
leading = En cabeza
still-working = Primero en pista
nobody-scored = Nadie ha puntuado todavía.
nobody-works = Ya no queda nadie en marcha.
mixed = Varias divisiones: puestos y diferencias son dentro de cada una.
mixed-same-work = Varias divisiones: los puestos son dentro de cada una, las diferencias con el primero de toda la serie.
behind = Detrás
last-five = Últimas cinco
none-yet = Nadie todavía.
done = En meta
start-list = Lista de salida
results-provisional = Resultados, provisionales
results-official = Resultados, oficiales
next = Próxima serie
next-heat = Después: { $heat } · { $workout }
no-next = No hay ninguna serie después de esta.
next-line = Después: { $heat } · { $workout }
close-next = Cerrar la próxima serie
said = Dicho

## Un carril.
lane = carril { $lane }
lane-short = C{ $lane }
to-go = { $left ->
    [one] falta { $amount }
   *[other] faltan { $amount }
}
to-the-line = a la línea
round-and = ronda { $round } · { $units }
part = { $done } de { $all } { $movement }
part-whole = { $all } { $movement }
# Lo que se intenta ahora, y qué intento es.
now-load = ahora { $load }
now-holding = aguantando
try = intento { $number }
try-of = intento { $number } de { $all }
seconds = { $time } s
behind-units = a { $units }
behind-time = { $time } s
behind-time-alone = a { $time } s
level = igualados
under-review = en revisión
status-racing = en marcha
status-finished = en meta
status-capped = límite de tiempo
status-did-not-finish = DNF
status-did-not-start = DNS
status-disqualified = DQ

## Lo que se dice.
fact-lead-new = { $name } va en cabeza, carril { $lane }.
fact-lead-new-division = { $name } va en cabeza en { $division }, carril { $lane }.
fact-last-five-new = Últimas cinco: { $name }, carril { $lane }.
fact-part-five-new = Últimas cinco de { $part }: { $name }, carril { $lane }.
fact-last-five-back = Se retira: { $name }, carril { $lane }, no está en las últimas cinco.
fact-finish-new = { $name } ha terminado: { $result }, puesto { $place }, carril { $lane }.
fact-finish-new-division = { $name } ha terminado: { $result }, puesto { $place } en { $division }, carril { $lane }.
fact-finish-corrected = Corrección: { $name }, carril { $lane }, ahora { $result }, puesto { $place }.
fact-finish-corrected-division = Corrección: { $name }, carril { $lane }, ahora { $result }, puesto { $place } en { $division }.
fact-finish-back = Se retira: la llegada de { $name }, carril { $lane }, no vale.
fact-minute = Queda un minuto.
fact-state-lanes-set = { $heat }: carriles listos.
fact-state-on-deck = { $run ->
    [1] { $heat } preparada.
   *[other] { $heat } preparada de nuevo, salida { $run }.
}
fact-state-countdown = Cuenta atrás.
fact-state-countdown-again = La serie se reanuda.
fact-state-running = El reloj corre.
fact-state-running-again = El reloj corre de nuevo.
fact-state-held = Parado. Espera al juez principal.
fact-state-time-called = Tiempo.
fact-state-provisional = Los resultados son provisionales.
fact-state-signed = Los resultados son oficiales.
fact-state-cancelled = Esta salida queda anulada y no cuenta.
