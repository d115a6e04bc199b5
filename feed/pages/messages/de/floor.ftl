# Die Seite der Regie. Was wozu dient, steht in der englischen Datei.
title = Regie · Fivemark

## Der Lauf.
floor = Der Lauf
heat-number = Lauf { $heat }
command-on-deck = Bereit
command-start-countdown = Countdown starten
command-recall = Zurückrufen: Fehlstart
command-hold = Anhalten
command-resume = Fortsetzen
command-call-time = Zeit ausrufen
command-open-heat = Lauf auf die Fläche holen
sure-start-countdown = Countdown jetzt starten?
sure-recall = Lauf zurückrufen? Er ist dann wieder bereit, und was in diesem Durchgang gezählt wurde, zählt nicht.
sure-call-time = Zeit jetzt ausrufen? Der Lauf endet, wie er steht.
sure-open-heat = Lauf { $heat } auf die Fläche holen? Alle Anzeigen wechseln zu ihm.
not-now = Jetzt nicht
open-heat = Ein anderer Lauf
open = Auf die Fläche holen
heads = Ab hier schließt und unterschreibt der Hauptkampfrichter den Lauf.

## Was Anzeigen zeigen.
on-now = Jetzt auf den Anzeigen
on-for = noch { $time }
stays = bleibt
order-follow = Die Abfolge folgt den Läufen.
order-own = Eine eigene Abfolge der Flächenleitung.
order-heat = Die Anzeige des Laufs bleibt.
follow = Den Läufen folgen
board-alone = Nur die Anzeige des Laufs
heat-takes-over = Vom Countdown eines Laufs bis zu seinen Ergebnissen gehören ihm die Anzeigen, was auch verlangt war; danach gibt er sie zurück.
overlay = Auf der Einblendung im Stream
part-ribbon = Band
part-rail = Leiste
part-corner = Ecke
part-card = Karte
duel-left = Duell, links
duel-right = rechts
duel-show = Duell zeigen
duel-off = Duell beenden
duel-now = Duell: Bahn { $left } und Bahn { $right }.
duel-none = Kein Duell ist zu sehen.

## Eine eigene Folge.
own = Eine eigene Folge
own-hint = Karten, die die Anzeigen nacheinander zeigen. Mit der Zeit 0 bleibt eine Karte stehen. Eine Karte, für die es noch nichts gibt, fällt weg.
card = Karte
card-heat = Anzeige des Laufs
card-next-heat = Nächster Lauf
card-last-results = Letzte Ergebnisse
card-standings = Zwischenstand
card-event = Die Veranstaltung
card-words = Eigene Worte
card-countdown = Countdown
for-time = Für m:ss
card-title = Titel
card-text = Text
card-until = Läuft ab in m:ss
step-up = Schritt { $step } nach oben
step-down = Schritt { $step } nach unten
step-away = Schritt { $step } entfernen
add = Karte hinzufügen
again = Nach der letzten von vorn
show = Diese Folge zeigen
fault-time = Schritt { $step }: Die Zeit schreibt man wie 0:12, höchstens einen Tag; mit 0 bleibt er stehen.
fault-title = Schritt { $step }: Der Titel ist zu lang. Eine Zeile mit etwa hundert Buchstaben passt.
fault-text = Schritt { $step }: Der Text ist zu lang. Etwa vierhundert Buchstaben passen.
fault-empty = Schritt { $step }: Schreibe einen Titel oder einen Text.
fault-until = Schritt { $step }: Die Zeit bis zum Ablauf schreibt man wie 10:00, höchstens einen Tag.

## Was verlangt wurde.
sent = Vom Server verlangt
sent-waiting = wartet auf den Server
sent-unsure = Ob das ankam, ist nicht bekannt.
sent-done = erledigt
sent-full = Es wartet schon zu viel auf den Server. Warte, bis einiges beantwortet ist.
again-send = Noch einmal senden
give-up = Lassen
sent-part-on = { $part } an
sent-part-off = { $part } aus
sent-own = { $steps ->
    [one] Eigene Folge aus einer Karte
   *[other] Eigene Folge aus { $steps } Karten
}
