# Results for everybody.
title = Resultados · Fivemark
floor = La serie en la pista
standings = Clasificación del workout
provisional = Provisional: { $state }. No es oficial hasta que se firme.
lane = carril { $lane }
count-of = { $count } de { $all }
penalty = + { $time } de penalización
credit = bonificación { $time }
tie-break = desempate { $time }
standings-of = { $workout } · { $division } · { $done } de { $all } series
row-provisional = provisional
spectators-off = Este servidor no deja entrar a espectadores. Pregunte a quien dirige el evento.
