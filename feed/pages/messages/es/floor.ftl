# La página de realización. Para qué sirve cada mensaje está en el archivo inglés.
title = Realización · Fivemark

## La serie.
floor = La serie
heat-number = Serie { $heat }
command-on-deck = Preparados
command-start-countdown = Iniciar la cuenta atrás
command-recall = Salida nula
command-hold = Pausa
command-resume = Reanudar
command-call-time = Dar tiempo
command-open-heat = Llevar la serie a la pista
sure-start-countdown = ¿Iniciar ya la cuenta atrás?
sure-recall = ¿Anular la salida? La serie vuelve a preparados y lo contado en esta salida no vale.
sure-call-time = ¿Dar tiempo ya? La serie termina como está.
sure-open-heat = ¿Llevar la serie { $heat } a la pista? Todas las pantallas pasan a ella.
not-now = Ahora no
open-heat = Otra serie
open = Llevarla a la pista
heads = A partir de aquí el juez principal cierra y firma la serie.

## Lo que muestran las pantallas.
on-now = Ahora en las pantallas
on-for = { $time } más
stays = se queda
order-follow = El orden sigue las series.
order-own = Un orden propio del operador de pista.
order-heat = Queda el marcador de la serie.
follow = Seguir las series
board-alone = Solo el marcador de la serie
heat-takes-over = Desde la cuenta atrás de una serie hasta sus resultados, las pantallas son suyas, se haya pedido lo que se haya pedido; luego las devuelve.
overlay = En los rótulos de la emisión
part-ribbon = Cinta
part-rail = Columna
part-corner = Esquina
part-card = Tarjeta
duel-left = Duelo, izquierda
duel-right = derecha
duel-show = Mostrar el duelo
duel-off = Terminar el duelo
duel-now = Duelo: carril { $left } y carril { $right }.
duel-none = No hay ningún duelo.

## Un orden propio.
own = Un orden propio
own-hint = Tarjetas que las pantallas muestran una tras otra. Con tiempo 0 una tarjeta se queda. La que aún no tiene nada que mostrar se omite.
card = Tarjeta
card-heat = El marcador de la serie
card-next-heat = Próxima serie
card-last-results = Últimos resultados
card-standings = Clasificación
card-event = El evento
card-words = Palabras propias
card-countdown = Cuenta atrás
for-time = Durante m:ss
card-title = Título
card-text = Texto
card-until = Termina en m:ss
step-up = Subir el paso { $step }
step-down = Bajar el paso { $step }
step-away = Quitar el paso { $step }
add = Añadir una tarjeta
again = Volver a empezar tras la última
show = Mostrar este orden
fault-time = Paso { $step }: escribe el tiempo como 0:12, un día como mucho; con 0 se queda.
fault-title = Paso { $step }: el título es demasiado largo. Cabe una línea de unas cien letras.
fault-text = Paso { $step }: el texto es demasiado largo. Caben unas cuatrocientas letras.
fault-empty = Paso { $step }: escribe un título o un texto.
fault-until = Paso { $step }: escribe el tiempo hasta el final como 10:00, un día como mucho.

## Lo que se pidió.
sent = Pedido al servidor
sent-waiting = espera al servidor
sent-unsure = No se sabe si esto llegó.
sent-done = hecho
sent-full = Ya hay demasiado esperando al servidor. Espera a que responda algo.
again-send = Enviar otra vez
give-up = Dejarlo
sent-part-on = { $part }: sí
sent-part-off = { $part }: no
sent-own = { $steps ->
    [one] Orden propio de una tarjeta
   *[other] Orden propio de { $steps } tarjetas
}
