# La página de la jueza o del juez principal.
title = Juez principal · Fivemark

# La barra de arriba.
steps = Lo que se puede hacer ahora
state-alone = { $state } · solo el carril { $lane }
run = salida { $run }
cap-left = límite { $cap } · quedan { $left }
linked = Conectado al servidor
hold = Pausa
hold-key = F8
step-on-deck = Preparados
step-start-countdown = Empezar la cuenta atrás
step-recall = Retirar: salida falsa
step-resume = Reanudar
step-call-time = Cerrar el tiempo
step-close = Cerrar: provisional
step-sign = Firmar
step-reopen = Reabrir
step-rerun = Repetir la serie
step-rerun-lane = Repetir un carril
step-cancel = Anular la salida
step-cancel-alone = Anular la salida de este carril
step-confirm-clock = Confirmar el reloj
step-open-heat = Pasar a la serie { NUMBER($heat, useGrouping: 0) }
step-open-heat-other = Pasar a otra serie

# El segundo toque.
ask-yes = Sí: { $step }
ask-no = No
ask-lane = Carril
ask-heat = Serie
ask-reason = Motivo
ask-what-start-countdown = ¿Empezar la cuenta atrás de { $heat }?
ask-what-recall = { $heat } está en marcha. ¿Retirarla? Esta salida queda en el acta y no puntúa.
ask-what-resume = ¿Reanudar { $heat }? Antes hay una cuenta atrás.
ask-what-call-time = ¿Cerrar ya el tiempo de { $heat }? Lo que se toque después no cuenta.
ask-what-close = ¿Cerrar { $heat }? No se esperan los toques que aún falten.
ask-what-sign = ¿Firmar { $heat }? Sus resultados pasan a ser oficiales en todas las pantallas.
ask-what-reopen = ¿Reabrir { $heat }? Sus resultados vuelven a ser provisionales.
ask-what-rerun = ¿Repetir { $heat } entera? La salida hecha queda en el acta y no puntúa.
ask-what-rerun-lane = ¿Repetir solo un carril de { $heat }? Los resultados de los demás se mantienen.
ask-what-cancel = ¿Anular esta salida de { $heat }? No puntúa.
ask-what-cancel-alone = ¿Anular la salida del carril { $lane }? Vuelve a valer su resultado anterior.
ask-what-confirm-clock = El equipo del servidor se reinició. ¿Dar por buenos el reloj y sus tiempos?
ask-what-open-heat = ¿Traer otra serie a la pista?
ask-what-open-heat-unsigned = { $heat } no está firmada. ¿Traer otra serie de todos modos? Se puede volver a ella.
ask-start-unfit = { $says }. ¿Empezar de todos modos?
ask-yes-unfit = Empezar de todos modos
reason-wanted = Diga en pocas palabras por qué.
reason-long = Es demasiado largo. Dígalo en dos frases.

# Lo que necesita atención.
attention = Necesita atención
attention-journal = El servidor no puede escribir el acta. Nada se confirma; los teléfonos conservan sus toques.
attention-clock-doubt = El equipo del servidor se reinició: el reloj está en duda hasta que lo confirme.
attention-judge-off = Juez sin conexión
attention-review-late = Revisión fuera de plazo
attention-under-review = En revisión
attention-flagged = Tiempos o conexión en duda
attention-lane = { $what }: carril { $lane }

# Los carriles.
aside = Carril abierto, y lo que ha pedido
lanes = Carriles
column-lane = Carril
column-athlete = Atleta
column-count = Cuenta
column-place = Puesto
column-part = Parte
column-calls = Últimos toques
column-no-reps = No-reps
open-lane = Carril { $lane }, { $name }: abrir
lane = carril { $lane }
lane-name = Carril { $lane } · { $name }
lane-empty = vacío
count-of = { $count } de { $all }
units = { $count ->
    [one] 1 unidad
   *[other] { $count } unidades
 }
part-reps = { $movement } { $count } de { $all }
part-metre = { $movement } { $count } de { $all } m
part-calorie = { $movement } { $count } de { $all } cal
part-second-held = { $movement } { $count } de { $all } s
part-kilogram = { $movement } { $count } de { $all } kg
part-whole = { $movement } ({ $all })
no-mark = sin marca
declared = { $load } anunciados
holding = aguantando
tried = { $count ->
    [one] 1 intento
   *[other] { $count } intentos
 }
tried-of = { $count } de { $all } intentos
place-round = ronda { $round }, { $part }
course-end = todo hecho
to-go = { $count ->
    [one] falta { $count }
   *[other] faltan { $count }
 }
status-racing = en carrera
status-finished = terminado
status-capped = límite de tiempo
status-did-not-finish = no terminó
status-did-not-start = no salió
status-disqualified = descalificado
status-under-review = en revisión
status-reinstated = readmitido
status-empty = vacío
ago-seconds = hace { $count } s
ago-minutes = hace { $count } min
mark-judge-off = sin conexión
mark-flagged = en duda
mark-ruled = corregido
mark-credit = bonificación { $time }
mark-start = sale a { $time }
call-good = { $count ->
    [one] válida
   *[other] válidas, { $count } a la vez
 }
call-no-rep = no-rep
call-hold = aguante empezado
call-back = { $count ->
    [one] retirada
   *[other] { $count } retiradas
 }
call-ruled = decisión
call-fault = { $call }, { $fault }

# Un carril abierto.
close = Cerrar
stop-alone = parado a mano { $time }
stop-beside = parado a mano { $time } ({ $apart } s)
review-left = revisión: quedan { $time }
review-late = revisión fuera de plazo
judged-by = juez { $judge }
last-calls = Últimos toques
no-calls = Ninguno desde que se abrió esta página.
no-reps = { $count ->
    [one] 1 no-rep
   *[other] { $count } no-reps
 }
fault-times = { $fault } × { $times }
fault-unnamed = sin falta indicada

# Una decisión.
ruling = Decisión sobre este carril
field-kind = Decisión
kind-add-units = Añadir o quitar unidades
kind-set-count = Fijar la cuenta
kind-from-paper = Seguir desde una tarjeta de papel
kind-move-finish = Cambiar el tiempo final
kind-time-penalty = Penalización de tiempo
kind-unit-penalty = Penalización en unidades
kind-credit = Bonificar tiempo por fallo de material
kind-set-best-load = Fijar la mejor carga
kind-set-held = Fijar el tiempo aguantado
kind-status = Estado
kind-review = En revisión, con plazo
kind-note-stop = Anotar una parada a mano
kind-move-athlete = Pasar al atleta a un carril vacío
field-way = Más o menos
way-more-add-units = Añadir
way-less-add-units = Quitar
way-more-time-penalty = Penalizar
way-less-time-penalty = Devolver
way-more-unit-penalty = Penalizar
way-less-unit-penalty = Devolver
way-more-credit = Bonificar
way-less-credit = Retirar
field-units = Unidades
field-round = Ronda
field-part = Parte
field-done = Hecho en esta parte
field-finish = Tiempo final
field-time = Tiempo, en minutos y segundos
field-load = Mejor carga, 0 para ninguna
field-minutes = Por decidir en minutos
field-status = Estado
field-to = Al carril
field-card-athlete = Iniciales, atleta
field-card-judge = Iniciales, juez
card-initials = después iniciales { $athlete } / { $judge }
field-reason = Motivo
reasons = Motivos para elegir
why-video = contado en vídeo
why-miscount = el juez contó mal
why-standard = estándar no cumplido
why-equipment = fallo de material
why-card = de la tarjeta de papel
rule = Decidir
preview = Carril { $lane }: { $change }
change-from-to = { $from } → { $to }
change-finish = , terminado en { $time }
change-on-top = las penalizaciones y las bonificaciones se suman aparte
change-penalty = penalización { $from } → { $to }
change-penalty-to = { $to } más de penalización
change-credit = bonificación { $from } → { $to }
change-credit-to = { $to } más de bonificación
change-stop = parada a mano { $from } → { $to }
change-stop-to = parada a mano { $to }, anotada junto a la llegada
change-review = { $from } → { status-under-review }, por decidir en { $minutes } min
problem-no-kind = Elija una decisión.
problem-no-units = Dé un número entero de unidades, 1 o más.
problem-beyond-course = El carril no puede tener tantas unidades.
problem-add-reaches-end = Eso es el recorrido entero. Fije la cuenta, con el tiempo final.
problem-no-count = Dé lo hecho en esta parte, como número entero dentro de ella.
problem-no-finish = Eso es el recorrido entero. Dé el tiempo final, como 7:08,4.
problem-no-time = Dé un tiempo, como 7:08,4, o 10 para diez segundos.
problem-no-load = Da una carga de hasta 1000 kg, como 142,5, o 0 para ninguna.
problem-credit-below-nothing = No se puede retirar más de lo bonificado.
problem-no-minutes = Dé minutos enteros, de 1 a 1440.
problem-no-status = Elija un estado.
problem-same-status = Así está ya el carril.
problem-no-lane = Elija un carril vacío.
problem-half-initials = Dé las iniciales de los dos, o de ninguno.
problem-no-reason = Una decisión necesita un motivo.
problem-reason-long = El motivo es demasiado largo. Dígalo en dos frases.
none-signed = La serie está firmada. Reábrala para decidir sobre este carril.
none-cancelled = Esta salida se anuló y no puntúa; no hay nada que decidir.
none-empty = No hay nadie en este carril.

# Lo que se pidió y qué pasó.
answers = Lo que ha pedido
no-answers = Nada todavía.
said = { $what } – { $came }
card-initials-refused = La cuenta de la tarjeta está en el registro y sus iniciales se rechazaron. Siguen escritas; mire el resultado y confírmelo de nuevo.
card-no-result = La cuenta de la tarjeta está en el registro. El carril aún no tiene resultado, así que sus iniciales esperan: confírmelo cuando haya terminado.
came-waiting = esperando al servidor
came-unsure = no se sabe si llegó, y es demasiado antiguo para enviarlo solo
came-done = hecho
send-again = Enviar ahora
leave-it = Dejarlo
too-many-waiting = Ya espera demasiado al servidor. Esto no se envió; délo otra vez cuando vuelva la conexión.
note = { $before } → { $after }
note-of-other = Carril { $lane }, decidido por { $by }
lane-did = Carril { $lane }: { $what }
did-set-lanes = Asignar los carriles { $lanes }: { $reason }
did-on-deck = Preparados
did-start-countdown = Empezar la cuenta atrás
did-recall = Retirar
did-hold = Pausa
did-resume = Reanudar
did-cancel = Anular la salida
did-call-time = Cerrar el tiempo
did-close = Cerrar
did-sign = Firmar
did-rerun = Repetir la serie: { $reason }
did-rerun-lane = Repetir el carril { $lane }: { $reason }
did-reopen = Reabrir: { $reason }
did-confirm-clock = Confirmar el reloj
did-open-heat = Pasar a la serie { NUMBER($heat, useGrouping: 0) }
ruled-add-units = { $count ->
    [one] 1 unidad añadida
   *[other] { $count } unidades añadidas
 }
ruled-add-units-less = { $count ->
    [one] 1 unidad quitada
   *[other] { $count } unidades quitadas
 }
ruled-unit-penalty = { $count ->
    [one] penalización de 1 unidad
   *[other] penalización de { $count } unidades
 }
ruled-unit-penalty-less = { $count ->
    [one] 1 unidad devuelta
   *[other] { $count } unidades devueltas
 }
ruled-time-penalty = penalización de { $time }
ruled-time-penalty-less = { $time } devueltos
ruled-credit = { $time } de bonificación
ruled-credit-less = bonificación de { $time } retirada
ruled-set-count = cuenta fijada en { $count } del recorrido
ruled-from-paper = tarjeta de papel con { $count } del recorrido
ruled-move-finish = tiempo final cambiado a { $time }
ruled-set-best-load = mejor carga fijada en { $load }
ruled-set-held = tiempo aguantado fijado en { $time }
ruled-review = en revisión, por decidir en { $minutes } min
ruled-note-stop = parada a mano anotada en { $time }
ruled-move-athlete = pasa al carril { $to }

# Por qué el servidor no lo hizo, donde su propia frase está en otro idioma.
reason-wrong-role = Esta clave de acceso no permite hacerlo.
reason-unknown-lane = No existe ese carril, o no hay nadie en él.
reason-unknown-athlete = Nadie en la competición tiene ese dorsal.
reason-stands-twice = Alguien estaría en dos carriles.
reason-unknown-heat = Esa serie no está en esta pista.
reason-heat-signed = La serie está firmada; reábrala primero.
reason-heat-cancelled = Esta salida se anuló y no puntúa.
reason-not-in-this-state = No es posible en el estado en que están la serie o el carril.
reason-clock-in-doubt = El reloj está en duda; confírmelo primero.
reason-out-of-range = Una cifra o el motivo se sale de lo posible.
reason-journal-full = El acta no se puede escribir. Délo otra vez pronto.
reason-too-large = El mensaje es demasiado grande.
reason-malformed = El servidor no entendió el mensaje; la página y el servidor pueden ser de versiones distintas.
reason-lane-taken = El carril no está vacío.
reason-not-confirmed = Faltan iniciales bajo un resultado.
reason-result-changed = El resultado ya es otro; mírelo de nuevo.
reason-not-standing-by = Ese teléfono no está a la espera.
reason-wrong-run = El carril ya está en otra salida.

# Detrás de un carril: teléfonos, iniciales, acta.
phones = Teléfonos
phone-holds = cuenta el carril
phone-stands-by = a la espera
phone-shadow = segundo juez
phone-off = sin conexión
phone-charge = { $percent } % de batería
phone-charging = { $percent } %, cargando
phone-waiting = { $count ->
    [one] 1 toque espera
   *[other] { $count } toques esperan
 }
phone-clock = reloj con error menor de { $ms } ms
phone-sleeps = la pantalla puede apagarse
hand-over = Dar el carril a este teléfono
hand-over-sure = Sí: darle el carril
initials = Iniciales
initials-stand = Atleta y juez han confirmado este resultado.
initials-missing = Sin confirmar todavía. Desde el papel:
initials-athlete = Atleta
initials-judge = Juez
initials-why = Por qué desde el papel
confirm = Confirmar este resultado
record = Acta
record-again = Mostrar de nuevo
record-empty = Nada todavía.
record-left-out = { $count ->
    [one] Falta 1 entrada más antigua.
   *[other] Faltan { $count } entradas más antiguas.
 }
said-good = { $count ->
    [one] válida
   *[other] válida, { $count } unidades
 }
said-no-rep = no-rep
said-last-was-no-rep = la última fue no-rep
said-part-done = parte hecha
said-finish = llegada
said-attempt-good = intento válido
said-attempt-failed = intento nulo
said-hold-start = aguante empezado
said-hold-stop = aguante terminado
said-declare-load = carga anunciada
said-manual-stop = parada a mano
said-undo = deshacer
record-done = { $done } del recorrido
record-attempts = { $done ->
    [one] 1 intento
   *[other] { $done } intentos
 }
record-counted = cuenta
record-taken-back = retirada
record-not-counted = no cuenta
record-noted = anotado, no decide nada
record-shadow = segundo juez
record-ruling = { $by }: { $before } → { $after }
record-initials = iniciales { $athlete } y { $judge } bajo { $result }
record-initials-taken-back = iniciales { $athlete } y { $judge } bajo { $result }, anuladas por un cambio
record-hand-over = el carril pasa de { $from } a { $to }
doubt-late = llegó tras cerrar el tiempo
doubt-outage = esperó a la conexión
doubt-slept = la página dormía
doubt-no-clock = sin reloj conocido
doubt-clamped = su tiempo se salía de lo posible
did-hand-over = dado a { $to }
did-confirm = iniciales desde el papel
mark-confirmed = iniciales
attention-stands-by = Otro teléfono a la espera
attention-phone-low = Batería baja
attention-calls-wait = Toques que esperan en el teléfono
attention-initials = Faltan iniciales

# Los carriles antes de la salida: si están listos, y quién está dónde.
readiness = Antes de la salida: { $says }
ready-all = { $count ->
    [one] el carril tiene juez, teléfono cargado y buena conexión.
   *[other] los { $count } carriles tienen juez, teléfono cargado y buena conexión.
 }
missing-judge = { $count ->
    [one] juez sin conexión: carril { $lanes }
   *[other] jueces sin conexión: carriles { $lanes }
 }
missing-charge = { $count ->
    [one] batería baja: carril { $lanes }
   *[other] batería baja: carriles { $lanes }
 }
missing-link = { $count ->
    [one] mala conexión: carril { $lanes }
   *[other] mala conexión: carriles { $lanes }
 }
set-lanes = Asignar carriles
set-lanes-hint = Toque un carril y después otro: sus atletas se cambian.
set-lanes-second = El carril { $lane } está elegido. Toque el carril con el que se cambia, o el mismo para dejarlo.
athlete-bib = { $bib } { $name }
lane-changes = cambia
scratch = Retirar de la serie
put-in = Poner a alguien en este carril
find-athlete = Dorsal, nombre o club de quien entra
find-none = No se encuentra a nadie que pueda entrar.
find-more = Hay más. Escriba más letras.
was-scratched = retirado de esta serie
set-lanes-changes = Qué cambia
set-lanes-line = Carril { $lane }: { $from } → { $to }
set-lanes-out = { $name } se retira y cuenta como que no salió.
set-lanes-send = Asignar los carriles así
set-lanes-back = Empezar de nuevo
set-lanes-nothing = Aún no cambia nada.
set-lanes-lost = Mientras tanto se asignaron los carriles desde otro sitio. Mírelos y empiece de nuevo.
why-swapped = carriles confundidos
why-injured = lesión
why-absent = no está en la pista
why-substitute = entra por otra persona

# PIN.
papers = Papeles
show-pins = PIN
pins-of = PIN de { $heat }
pins-hint = Los jueces abren { $address } y escriben su PIN. Vale hasta que se firme la serie.
pins-none = La serie está firmada; sus PIN ya no abren nada.
pins-wait = Preguntando al servidor…
pin-lane = Carril { $lane }
pin-shadow = Carril { $lane }, segundo juez
print = Imprimir

# Cómo juzgan los jueces.
show-judges = Jueces
judges = Cómo juzgan los jueces
judges-wait = Preguntando al servidor…
judges-none = Aún no se ha juzgado nada.
judges-of = { $count ->
    [one] Avisos de 1 serie; no entran los intentos de serie que no puntúan.
   *[other] Avisos de { $count } series; no entran los intentos de serie que no puntúan.
 }
judges-left-out = { $count ->
    [one] 1 tasa más no cabe aquí.
   *[other] { $count } tasas más no caben aquí.
 }
judge-initials = iniciales { $initials }
briefing = Para la próxima reunión
briefing-none = Ningún juez queda fuera del conjunto.
briefing-below = { $judge }, { $movement }: menos no-reps que el conjunto. { $rate }; conjunto { $field }
briefing-above = { $judge }, { $movement }: más no-reps que el conjunto. { $rate }; conjunto { $field }
briefing-fault-below = { $judge }, { $movement }, «{ $fault }»: lo señala menos que el conjunto. { $rate }; conjunto { $field }
briefing-fault-above = { $judge }, { $movement }, «{ $fault }»: lo señala más que el conjunto. { $rate }; conjunto { $field }
briefing-chance = { $count ->
    [0] De { $all } comparaciones, apenas una queda fuera por puro azar. Los atletas también son distintos: preguntar, no acusar.
    [1] De { $all } comparaciones, más o menos una queda fuera por puro azar. Los atletas también son distintos: preguntar, no acusar.
   *[other] De { $all } comparaciones, unas { $count } quedan fuera por puro azar. Los atletas también son distintos: preguntar, no acusar.
 }
briefing-alone = Ningún movimiento ha tenido aún dos jueces, así que no hay nada que comparar.
rates = Tasas de no-rep
rates-hint = No-reps entre los intentos, y dónde está la proporción con un 95 % de confianza: la barra. El punto redondo es el juez; la raya vertical, el conjunto.
rate-field = { $count ->
    [one] Conjunto: { $figures }, 1 juez, sin nadie con quien compararlo
   *[other] Conjunto: { $figures }, { $count } jueces
 }
rate-figures = { $count } de { $all }: { $share }
rate-interval = { $figures } (de { $low } a { $high })
rate-fault = { $fault }: { $rate }, conjunto { $field }
outside-below = menos que el conjunto
outside-above = más que el conjunto
agreement = Jueces de carril y segundos jueces
agreement-none = Ningún carril ha tenido aún un segundo juez. Entra con el segundo PIN del carril y lo cuenta también.
agreement-all = Todos los movimientos
agreement-raw = { $count } de { $all } decisiones iguales: { $share } (de { $low } a { $high })
agreement-kappa = Kappa { $kappa } (de { $low } a { $high })
agreement-kappa-full = Kappa { $kappa }; el acuerdo total no le da intervalo
agreement-no-kappa = Kappa no dice nada aquí: los dos dijeron siempre lo mismo.
agreement-parts = { $differ } juzgadas de otro modo, { $judge } avisadas solo por el juez de carril, { $shadow } solo por el segundo juez
agreement-hint = Una decisión es un intento que avisó al menos uno de los dos; dos avisos en { $seconds } s pueden ser del mismo. Kappa descuenta lo que coincidiría por azar: 1 es acuerdo total, 0 es azar. Donde hay pocos no-reps es baja por bien que coincidan.

# Qué llama la atención en un carril.
flags = Llama la atención
attention-too-fast = Avisos más rápidos que una persona
attention-late-calls = Avisos llegados tarde
attention-off-line = Teléfono mucho tiempo sin conexión
attention-clock-error = Reloj del teléfono impreciso
mark-too-fast = demasiado rápido
mark-quiet = { $count } s sin avisos
flag-too-fast = { $count ->
    [one] En { $clock } llegaron dos repeticiones seguidas más rápidas de lo que puede una persona: la última tras { $took } s, cuando se esperan { $expected } s. Mire la cuenta.
   *[other] { $count } veces llegaron repeticiones seguidas más rápidas de lo que puede una persona: la última en { $clock } tras { $took } s, cuando se esperan { $expected } s. Mire la cuenta.
 }
flag-quiet = { $seconds } s sin avisos; lo normal en este carril son { $usual } s. Casi siempre es un descanso.
flag-late-calls = { $count ->
    [one] 1 aviso llegó más de 10 s después del toque: a los { $seconds } s.
   *[other] { $count } avisos llegaron más de 10 s después del toque: hasta { $seconds } s.
 }
flag-off-line = Del teléfono que lleva el carril no se sabe nada desde hace { $seconds } s.
flag-clock-error = La hora de los avisos puede fallar hasta { $ms } ms.
