# Papers: what is printed of a heat for its officials, judges and athletes.
title = Papeles · Fivemark
papers = Papeles
paper = El papel
what = Papel
heat = Serie
heat-number = Serie { NUMBER($heat, useGrouping: 0) }
heat-on-floor = Serie { NUMBER($heat, useGrouping: 0) }, en la pista
print = Imprimir
paper-result = Hoja de resultados
paper-brief = Explicación del workout
paper-pins = Tarjetas de PIN para los teléfonos de los jueces
paper-cards = Tarjetas de conteo
run = salida { $run }

## The result sheet.
sheet-provisional = PROVISIONAL – { $state }; no es oficial hasta que se firme
sheet-official = OFICIAL – firmado
column-lane = Carril
column-bib = Dorsal
column-athlete = Atleta
column-division = División
column-result = Resultado
column-place = Puesto
column-tie-break = Desempate
column-penalties = Penalización, crédito
column-initials = Iniciales, juez
column-change = Cambio
column-ruling = Decisión
column-reason = Motivo
column-by = Por
penalty = + { $time }
credit = crédito { $time }
initials-of = { $athlete } / { $judge }
from-to = { $from } → { $to }
rulings = Decisiones
rulings-left-out = { $count ->
    [one] 1 decisión anterior no cabe aquí; está en la página del juez principal.
    [many] { $count } decisiones anteriores no caben aquí; están en la página del juez principal.
   *[other] { $count } decisiones anteriores no caben aquí; están en la página del juez principal.
 }
remarks = De toda la serie
not-signed = Esta serie no está firmada; la hoja no tiene resumen criptográfico.
signed-by = Firmado por: { $by }, { $at }, sobre { NUMBER($entries, useGrouping: 0) } entradas del registro.
signed-earlier = Una firma anterior: { $by }, { $at }, resumen { $digest } …
reopened = Reabierto: { $by }, { $at }: { $reason }
digest = Resumen del registro firmado (SHA-256)
verify-how = Quien tenga el diario puede cotejar esta hoja con él:
signature = Juez principal
status-racing = sin resultado
status-finished = terminó
status-capped = fuera de tiempo
status-did-not-finish = DNF
status-did-not-start = DNS
status-disqualified = DQ
status-under-review = en revisión

## PIN cards.
pins-wait = Pidiendo los PIN…
pins-other-heat = Solo hay PIN para la serie que está en la pista. Elija esa serie.
pins-none = La serie está firmada; sus PIN ya no abren nada.
pins-hint = Corte por las líneas. El juez escanea el código, o abre la dirección y escribe el PIN. Vale hasta que se firme la serie.
pins-loopback = Estos códigos llevan solo a esta misma máquina. Abra esta página con la dirección que usan los teléfonos e imprima de nuevo.
card-lane = Carril { $lane }
card-shadow = Carril { $lane }, segundo juez
card-empty = aquí no hay nadie
judge-name = juez { $judge }

## Score cards.
cap = límite { $time }
window = ventana { $time }
starts-at = sale en { $time }
card-hint = Marque cada repetición buena; escriba el reloj al final de cada parte.
card-five = Casillas gruesas: levante la mano.
round-short = R{ $round }
card-more = Más rondas: tome otra tarjeta.
column-part = Parte
column-ticks = Repeticiones buenas
column-clock = Reloj
each-box = una casilla es { $amount }
count-done = Hecho:
no-reps = No-reps:
result-time = Tiempo final:
result-count = O lo hecho en el límite, de { $all }:
result-rounds = Rondas + repeticiones:
result-load = Mejor carga:
result-held = Aguantado:
card-load = Carga:
card-good = válido
card-failed = nulo
card-hint-tries = Escribe cada carga antes del intento, marca qué fue de él y anota el reloj.
column-tries = Intento
initials-athlete = Iniciales, atleta:
initials-judge = Iniciales, juez:
initials-judge-of = Iniciales, juez { $judge }:

## Amounts.
amount-rep = { $count }
amount-metre = { $count } m
amount-calorie = { $count } cal
amount-second-held = { $count } s
amount-kilogram = { $count } kg

## The brief.
brief-of = Explicación: { $workout }
brief-work = Trabajo
brief-movements = Movimientos
brief-signals = Conteo y señales
brief-result = Resultado
scored-for-time = Por tiempo, límite { $time }.
scored-amrap = Tantas rondas como sea posible en { $time }.
scored-heaviest-lift = La mayor carga en { $time }.
scored-longest-hold = El aguante más largo en { $time }.
tries-heaviest-lift = { $count ->
    [one] 1 intento
   *[other] { $count } intentos
 }
tries-longest-hold = { $count ->
    [one] 1 aguante
   *[other] { $count } aguantes
 }
scheme = Repeticiones de cada ronda: { $scheme }.
rounds = { $count ->
    [one] 1 ronda.
    [many] { $count } rondas.
   *[other] { $count } rondas.
 }
column-all = Todos
buy-in = buy-in, una vez
cash-out = cash-out, una vez
tie-break-here = tiempo de desempate a su final
standard-start = Inicio:
standard-finish = Final:
no-rep-if = No-rep:
fault-partial = (parcial: se repite solo la fase fallida)
counted-in = Se cuenta en pasos de { $amount }.
count-aloud = El juez cuenta cada repetición buena en voz alta y hacia arriba.
signal-no-rep = El juez señala cada no-rep al momento y dice por qué; se repite.
partial-rule = Tras una falta parcial se repite solo la fase fallida.
last-five = El juez levanta la mano en las últimas cinco.
last-five-every-part = El juez levanta la mano en las últimas cinco de cada parte.
last-minute = El último minuto se ve en el tablero; el juez sigue contando hasta el final de la ventana.
finish-call = El tiempo se para con la llamada final, tras la línea o sobre la colchoneta, no con la última repetición.
capped-work-done = En el límite, el resultado es el trabajo hecho, como 87 de 90.
capped-work-left = En el límite, el resultado es el trabajo que falta, como cap + 3.
capped-cap-plus-penalty = En el límite, el resultado es el límite más { $penalty } por cada unidad que falta.
result-amrap-rounds = El resultado son las rondas enteras y las repeticiones de la ronda en curso, como 5 + 12.
result-amrap-total = El resultado son todas las repeticiones juntas.
result-heaviest-lift = El resultado es la mayor carga de un intento válido; cada carga se anuncia antes de su intento.
result-longest-hold = El resultado es el aguante más largo, del inicio al fin que dice el juez; uno en marcha termina con la ventana.
signals-heaviest-lift = Tras cada intento el juez dice si fue válido y, si fue nulo, por qué.
signals-longest-hold = El juez dice cuándo empieza un aguante y cuándo termina.
tie-break-rule = El trabajo igual lo separa el tiempo de desempate: el menor es mejor; si falta, va el último.
tie-break-none = Los resultados iguales comparten el puesto y se salta el siguiente.
cap-on-heat = El límite termina la serie para todos a la vez, sea cual sea la salida de un carril.
first-to-finish = Quien cruza primero la línea es primero, sea cual sea la salida de su carril.
times-up = Tiempos oficiales en pasos de { $unit } s, al siguiente más largo.
times-down = Tiempos oficiales en pasos de { $unit } s, sin el resto.
penalties = Solo el juez principal penaliza, en tiempo o en unidades, siempre con su motivo.
penalties-units = Solo el juez principal penaliza, en unidades, siempre con su motivo.
confirm-initials = Atleta y juez confirman el resultado con sus iniciales; la firma del juez principal lo hace oficial.
confirm-signed = La firma del juez principal hace oficial el resultado.
brief-safety = Seguridad: los médicos y el personal de pista paran una serie con voz y señal en cualquier momento; rigen las normas locales. El tablero es información y no un dispositivo de seguridad.
