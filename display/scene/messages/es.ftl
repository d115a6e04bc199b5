# Every word that screens write, in Spanish. See en.ftl for what each is for.

decimal-mark = ,

## States of a lane.
finished = terminado
time-cap = límite de tiempo
under-review = en revisión
review = revisión
ruled = corregido
empty-lane = carril vacío
no-rep = no-rep
no-rep-fault = no-rep · { $fault }
to-the-line = a la línea
to-go =
    { $left ->
        [one] falta { $left }
       *[other] faltan { $left }
    }
buy-in = buy-in
starts = sale { $time }
bib = N.º { $bib }
round = R{ $round }

## States of a heat.
lanes-set = carriles listos
on-deck = preparados
countdown = cuenta atrás
held = en pausa
held-means = El reloj está parado. Las decisiones esperan al juez principal.
time-called = tiempo
provisional = provisional
official = oficial
cancelled = anulada
cancelled-means = Esta salida de la serie no cuenta.

## The header.
lane-runs-again = El carril { $lane } repite
run = salida { $run }
cap = límite { $time }
window = AMRAP · ventana { $time }
window-tries = ventana { $time }
left = restante
done-of =
    { $done ->
        [one] { $done } de { $all } terminado
       *[other] { $done } de { $all } terminados
    }
starts-in = empieza en { $seconds } s
resumes-in = sigue en { $seconds } s

## When something is wrong with the feed.
clock-in-doubt = reloj sin confirmar
not-recording = no se registra
waiting = Esperando datos
no-feed-seconds = sin datos · { $seconds } s
no-feed-minutes = sin datos · { $minutes } min

## Results and what they rest on.
work-of = { $done } de { $all }
no-mark = sin marca
cap-plus = límite + { $missing }
buy-in-plus = buy-in + { $done }
penalty = { $seconds } s de penalización
credit = { $seconds } s de bonificación
tie-break = desempate { $time }
tie-break-short = TB { $time }

## The stream's overlay.
lane = carril { $lane }
more-finished = +{ $more } en meta
more-lanes = { $more ->
    [one] +{ $more } carril
   *[other] +{ $more } carriles
}
level = igualados

## Cards between heats.
next-heat = próxima serie
results = resultados
standings = clasificación
starts-in-time = empieza en { $time }
after-heats = { $all ->
    [one] tras la única serie
   *[other] tras { $done } de { $all } series
}
page-of = página { $page } de { $pages }

## The test card.
racing = en carrera
leading = en cabeza
last-five = últimas cinco
test-card = carta de ajuste
# Names of texts, each shown as large as that text is on the board.
sample-clock = reloj
sample-count = cuenta
sample-place = puesto
sample-name = nombre
sample-lane = carril
sample-gap = diferencia
sample-workout = prueba
sample-heat = serie y límite
# How much of a picture's width and height is safe for what moves, and for graphics.
action-safe = acción segura { $percent } %
graphics-safe = grafismo seguro { $percent } %
