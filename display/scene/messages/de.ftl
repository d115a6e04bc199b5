# Every word that screens write, in German. See en.ftl for what each is for.

decimal-mark = ,

## States of a lane.
finished = im Ziel
time-cap = Zeitlimit
under-review = wird geprüft
review = Prüfung
ruled = korrigiert
empty-lane = Bahn leer
no-rep = No-Rep
no-rep-fault = No-Rep · { $fault }
to-the-line = zur Linie
to-go = noch { $left }
buy-in = Buy-in
starts = Start { $time }
bib = Nr. { $bib }
round = R{ $round }

## States of a heat.
lanes-set = Bahnen gesetzt
on-deck = bereit
countdown = Countdown
held = angehalten
held-means = Die Uhr steht. Wertungen warten auf den Hauptkampfrichter.
time-called = Zeit um
provisional = vorläufig
official = offiziell
cancelled = annulliert
cancelled-means = Dieser Durchgang des Laufs zählt nicht.

## The header.
lane-runs-again = Bahn { $lane } läuft noch einmal
run = Durchgang { $run }
cap = Limit { $time }
window = AMRAP · Zeitfenster { $time }
window-tries = Zeitfenster { $time }
left = übrig
done-of = { $done } von { $all } fertig
starts-in = Start in { $seconds } s
resumes-in = weiter in { $seconds } s

## When something is wrong with the feed.
clock-in-doubt = Uhr unbestätigt
not-recording = keine Aufzeichnung
waiting = Warten auf Daten
no-feed-seconds = keine Daten · { $seconds } s
no-feed-minutes = keine Daten · { $minutes } min

## Results and what they rest on.
work-of = { $done } von { $all }
no-mark = ohne Wertung
cap-plus = Limit + { $missing }
buy-in-plus = Buy-in + { $done }
penalty = { $seconds } s Strafe
credit = { $seconds } s Gutschrift
tie-break = Tiebreak { $time }
tie-break-short = TB { $time }

## The stream's overlay.
lane = Bahn { $lane }
more-finished = +{ $more } im Ziel
more-lanes = { $more ->
    [one] +{ $more } Bahn
   *[other] +{ $more } Bahnen
}
level = gleichauf

## Cards between heats.
next-heat = nächster Lauf
results = Ergebnisse
standings = Zwischenstand
starts-in-time = Start in { $time }
after-heats = { $all ->
    [one] nach dem einzigen Lauf
   *[other] nach { $done } von { $all } Läufen
}
page-of = Seite { $page } von { $pages }

## The test card.
racing = unterwegs
leading = führt
last-five = letzte fünf
test-card = Testbild
# Names of texts, each shown as large as that text is on the board.
sample-clock = Uhr
sample-count = Zähler
sample-place = Platz
sample-name = Name
sample-lane = Bahn
sample-gap = Abstand
sample-workout = Workout
sample-heat = Lauf und Limit
# How much of a picture's width and height is safe for what moves, and for graphics.
action-safe = aktionssicher { $percent } %
graphics-safe = grafiksicher { $percent } %
