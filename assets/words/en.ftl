# Words of the window, in Fluent (projectfluent.org). One file a language; each message stands once.

## Commands: what each is called, and what it does in one sentence.

command-help = Help
    .help = Shows all keys and what they do.
command-commands = Commands
    .help = Lists what can be done here, to search and run.
command-menu = What can be done here
    .help = Lists what can be done to the chosen frame or specimen, beside it.
command-switch-theme = Light or dark
    .help = Switches between the light and the dark look.
command-letters-off = Letters label, or not
    .help = Turns the letters of the views off, or on again, on the specimen page.
command-empty-previews = Empty the preview cache
    .help = Frees the disk of small pictures kept so that a day opens quickly. They are made again when they are needed.
command-back = Back
    .help = Closes what is open, or goes back one step.
command-undo = Undo
    .help = Takes the last change back.
command-redo = Redo
    .help = Does again what was taken back.
command-open-card = Another card
    .help = Goes to the page where a card is chosen; the session is kept.
command-choose-folder = Choose a folder
    .help = Asks for the folder to read.
command-read-typed = Read the folder
    .help = Reads the folder whose path is typed.
command-watch-typed = Watch the folder
    .help = Takes frames in as they arrive in the folder whose path is typed; it may be empty still.
command-watch = Watch, or stop watching
    .help = Takes frames in as they arrive in the open folder, or stops doing so.
command-choose-plan = Choose the plan
    .help = Lists the rounds of views to choose from.
command-forget-views = Forget learned views
    .help = Asks whether to forget what this computer learned of the plan’s views from frames you confirmed.
command-go-card = Card
    .help = Goes to what was read and where blanks lie.
command-go-day-sheet = Day sheet
    .help = Goes to the table of specimens and views.
command-go-specimen = Specimen
    .help = Opens the chosen specimen.
command-go-filing = Filing
    .help = Goes to copying and renaming into the archive.
command-go-exchange = Exchange
    .help = What can be made of what is filed: packs to be named, sheets, labels, data sets; and what came back.
command-to-day-sheet = To the day sheet
    .help = Goes on to the table of specimens.
command-line-up = Move the line up
    .help = Lets a little more count as blank.
command-line-down = Move the line down
    .help = Lets a little less count as blank.
command-line-by-day = Let the day place the line
    .help = Takes the line back from your hand; the day’s own frames place it.
command-previous-frame = Previous frame
    .help = Chooses the frame before this one.
command-next-frame = Next frame
    .help = Chooses the frame after this one.
command-look-closer = Look closer, or stop
    .help = Looks closer at every frame that was not looked at yet, or stops doing so.
command-evidence = Evidence
    .help = Shows what speaks for how the chosen frame was taken: kind, boundaries, view, quality.
command-split-before = Split before this frame
    .help = Begins a new specimen with this frame.
command-join-previous = Join with the previous
    .help = Makes this specimen and the one before it one.
command-join-next = Join with the next
    .help = Makes this specimen and the one after it one.
command-set-aside = Set aside, or take back
    .help = Keeps the frame without using it, or uses it again.
command-take-for-blank = Blank or specimen
    .help = Takes the frame for a blank, or for a specimen when it is one.
command-take-for-reference = Reference frame
    .help = Takes the frame for a ruler, grey card or clock, or back.
command-move-frame = Move to another specimen
    .help = Asks to which specimen this frame belongs.
command-take-as-retake = A retake of an earlier one
    .help = Asks of which earlier specimen this one is a retake, and joins them.
command-set-clock = Correct this camera’s clock
    .help = Types how far the clock of the chosen frame’s camera was off.
command-clock-shown = This frame shows the time
    .help = Types the time that can be read in the chosen frame; its camera is corrected by it.
command-line-up-clocks = Line two cameras up
    .help = Marks this frame; pressed again on a frame of another camera that shows the same moment, corrects that one.
command-clear-clock = Clear the correction
    .help = Takes back what was decided about the clock of the chosen frame’s camera.
command-next-query = Next query
    .help = Focuses the next query.
command-previous-query = Previous query
    .help = Focuses the query before.
command-answer-first = First answer
    .help = Gives the focused query its first answer.
command-answer-second = Second answer
    .help = Gives the focused query its second answer.
command-answer-third = Third answer
    .help = Gives the focused query its third answer, if it has one.
command-answer-fourth = Fourth answer
    .help = Gives the focused query its fourth answer, if it has one.
command-row-up = Row up
    .help = Chooses the row above.
command-row-down = Row down
    .help = Chooses the row below.
command-rows-up = Page up
    .help = Goes up by what fits on the screen.
command-rows-down = Page down
    .help = Goes down by what fits on the screen.
command-first-row = First specimen
    .help = Chooses the first specimen.
command-last-row = Last specimen
    .help = Chooses the last specimen.
command-open-specimen = Open the specimen
    .help = Opens the chosen row.
command-larger-pictures = Larger pictures
    .help = Makes the pictures of the sheet larger.
command-smaller-pictures = Smaller pictures
    .help = Makes the pictures of the sheet smaller.
command-retake-list = Retake list, large
    .help = Fills the window with the retake list, to be read and worked at arm’s length.
command-holding-limit = Your holding limit
    .help = Types how long you mean to hold an animal at most, by your own rule or your permit.
command-copy-retakes = Copy the retake list
    .help = Copies the retake list as text, to be pasted or printed elsewhere.
command-print-retakes = Print the retake list
    .help = Makes a page of the retake list and opens it, to be printed from there.
command-sound = Sound on incomplete sets
    .help = Turns the two tones on or off that tell when a set closes with a view missing.
command-released = Released, or take back
    .help = Notes that the animal was let go now: it leaves the retake list and stays incomplete for that reason.
command-flew = Flew, or take back
    .help = Notes that the animal flew off now: it leaves the retake list and stays incomplete for that reason.
command-find-row = Find a jar or number
    .help = Types a jar label or a specimen’s number and goes to it.
command-sort-rows = Sort the rows
    .help = Sorts by order, by urgency, or by what is lacking, one after the other.
command-filter-rows = Show only some rows
    .help = Shows all rows, those incomplete, those unchecked, or those with queries, one after the other.
command-choose-up = Choose upwards as well
    .help = Goes to the row above and keeps this one chosen.
command-choose-down = Choose downwards as well
    .help = Goes to the row below and keeps this one chosen.
command-choose-besides = Keep this row chosen
    .help = Keeps this row chosen while you go on to others, or no longer.
command-choose-all = Choose all rows
    .help = Chooses all rows that are shown.
command-next-incomplete = Next to do
    .help = Chooses the next specimen with something left to do: a view missing, not good enough, or not yet confirmed.
command-edit-jar = Write the jar
    .help = Types the jar label of the chosen specimen; Enter goes on to the next row.
command-edit-note = Write a note
    .help = Types the note of this specimen.
command-previous-specimen = Previous specimen
    .help = Opens the specimen before this one.
command-next-specimen = Next specimen
    .help = Opens the specimen after this one.
command-clear-label = Clear the view
    .help = Takes the confirmed view off this frame.
command-confirm-proposed = Confirm what is proposed
    .help = Confirms every proposed view of this specimen.
command-prefer-frame = Best of its view, or not
    .help = Takes this frame for the best of its view, or leaves that to the measures again.
command-zoom-pixels = Fitted or pixels
    .help = Shows the picture fitted, or pixel for pixel.
command-zoom-in = Zoom in
    .help = Enlarges the picture, or shows less of the trace.
command-zoom-out = Zoom out
    .help = Makes the picture smaller, or shows more of the trace.
command-zoom-whole = Show the whole
    .help = Fits the picture into its place, or shows the whole day in the trace.
command-pan-left = Further left
    .help = Shows what lies left of what is seen.
command-pan-right = Further right
    .help = Shows what lies right of what is seen.
command-pan-up = Further up
    .help = Shows what lies above what is seen.
command-pan-down = Further down
    .help = Shows what lies below what is seen.
command-hold-beside = Hold this frame beside
    .help = Keeps this frame beside those you go on to, at one place and scale; again lets it go.
command-show-sharp = Show what is sharp
    .help = Tints where the picture is sharpest, or no longer.
command-show-lost = Show what is blown out or black
    .help = Hatches where the picture holds no detail: too bright or too dark.
command-edit-archive = Type the archive
    .help = Types the folder to file into.
command-choose-archive = Choose the archive
    .help = Asks for the folder to file into.
command-edit-second = Name the second archive
    .help = Goes to the field where the second archive is typed; it is filled from the same reading of the card.
command-choose-second = Choose the second archive
    .help = Asks for the folder of the second archive.
command-choose-names = Choose names
    .help = Chooses which fields name folders and files, in which order, and what joins them.
command-sort-plan = Sort the plan
    .help = Sorts the plan of filing by its next column.
command-reverse-plan = Turn the order round
    .help = Shows the last line of the plan first, or the first again.
command-other-plan = The other archive’s plan
    .help = Shows the plan of the other archive, where two are filed into.
command-hold-filing = Pause filing, or go on
    .help = Lets filing rest between two files, with everything copied so far under its name, or go on.
command-take-back = Take the last filing back
    .help = Asks whether to take the last filing into the archive back; only the last one can be.
command-use-proposed = Proposed views in names
    .help = Lets views that are only proposed stand in file names, or not.
command-edit-target = Type where the document is to stand
    .help = Goes to the field that says where what is made is to stand.
command-choose-target = Choose where the document is to stand
    .help = Asks for the folder in which what is made is to stand.
command-make-document = Make the document
    .help = Makes what is chosen on the exchange step; it stands whole, or not at all.
command-file-now = File
    .help = Copies, checks and renames everything into the archive.

command-page-views = The views of the specimen
    .help = Opens the page with jar, note and views beside the picture.
command-page-record = The record of the specimen
    .help = Opens the page with the fields of the record beside the picture, at the first empty one.
command-page-names = The names given to the specimen
    .help = Opens the page with the determinations beside the picture.
command-page-characters = The visible characters of the specimen
    .help = Opens the list of characters beside the picture; there ↑ and ↓ go through it, ← and → or digits choose, Space takes, Backspace empties.
command-show-best-frame = The best frame for this character
    .help = Shows the best frame of the first view that shows the chosen character.
command-take-offered = Take what is offered
    .help = Takes the word of a picked colour, or the state that a ratio stands for.
command-pick-colour = Pick the colour on the picture
    .help = Works out the colour in the circle under the pointer, else in the middle of the picture, for the open region of hair.
command-larger-patch = A larger circle for the colour
    .help = Makes the circle larger from which a colour is picked.
command-smaller-patch = A smaller circle for the colour
    .help = Makes the circle smaller from which a colour is picked.
command-page-measures = The measures on the frame
    .help = Opens the page with lengths and ratios beside the picture, and shows the marks over it.
command-mark-known = Mark a known length
    .help = Begins a line along a ruler or another known length, by clicks, or by arrow keys and Space; its length is asked then, and gives the scale.
command-mark-line = Mark a line
    .help = Begins a line to be measured: two points, by clicks, or by arrow keys and Space.
command-mark-polyline = Mark a polyline
    .help = Begins a line of several pieces to be measured; Enter ends it.
command-end-mark = End the mark
    .help = Ends the mark that is placed or moved; while it is open the arrow keys move a point by a pixel, with Shift by ten, and Tab goes to the next.
command-previous-mark = The mark before
    .help = Opens the mark before this one on the frame, so that its points can be moved.
command-next-mark = The next mark
    .help = Opens the next mark on the frame, so that its points can be moved.
command-delete-mark = Delete the mark
    .help = Takes the chosen mark away; what took its scale from it has none then.
command-carry-over = Carry over from the specimen before
    .help = Fills in where and how the animal was found as with the one before, where nothing is written yet.
command-sent-and-heard = Sent and heard
    .help = Opens what was sent to be named, what came back and what is overdue, and notes a sending of the chosen specimens.
command-read-notes = Read notes of the field
    .help = Reads a field notebook (CSV, TSV) or the track of a receiver (GPX), and shows what it would write before it is taken.
command-map = The map of the day
    .help = Shows the way, the specimens and the site of the day, drawn from their coordinates alone.
command-about-day = About the day
    .help = Opens the fields that hold for all of the day: who, how and where.
command-fill-in = Fill in for the chosen rows
    .help = Opens the fields of the record, to be filled in for all chosen specimens at once.

## Heads of the help page.

group-always = Everywhere
group-steps = Steps
group-card = Card
group-clocks = Clocks
group-queries = Queries
group-day-sheet = Day sheet
group-specimen = Specimen
group-looking = Looking
group-measures = Measures
group-record = Record
group-sets = Frames and sets
group-exchange = Exchange
group-filing = Filing

## Changing keys.

keys-change = Change its key
keys-press = Press the new key for “{ $command }”. Delete turns its keys off, Backspace gives back the usual one.
keys-off = no key
letters-off = Letters label nothing until you turn them on again with { $key }.
letters-on = Letters label frames on the specimen page again.
previews-none = This computer names no folder for caches, so no small pictures are kept.
previews-emptying = Emptying the preview cache
previews-emptied = The preview cache is empty: { $freed } freed. Pictures are made small again when they are needed.
previews-left = Of the preview cache { $freed } were freed, but { $left } could not be taken away. Nothing else was touched; look at who may write in its folder: { $folder }
settings-unread = Your settings in the data folder could not be read and stand as at first: { $why }
keys-letter = Letters and signs alone belong to the views and to text: add Ctrl or take a function key.
keys-taken = { $key } is the key of “{ $command }”.

## The list of commands.

commands-search = Search the commands
commands-none = No command of this step says that.

## Words in several places.

close = Close
leave = Leave it
choose = Choose…
previous-frame = Previous frame
next-frame = Next frame

## Counted things, dates and sizes.

count-frames = { $n ->
    [one] 1 frame
   *[other] { $n } frames
    }
count-files = { $n ->
    [one] 1 file
   *[other] { $n } files
    }
count-specimens = { $n ->
    [one] 1 specimen
   *[other] { $n } specimens
    }
date = { $month ->
    [1] { $day } January { $year }
    [2] { $day } February { $year }
    [3] { $day } March { $year }
    [4] { $day } April { $year }
    [5] { $day } May { $year }
    [6] { $day } June { $year }
    [7] { $day } July { $year }
    [8] { $day } August { $year }
    [9] { $day } September { $year }
    [10] { $day } October { $year }
    [11] { $day } November { $year }
   *[12] { $day } December { $year }
    }
size-bytes = { $n ->
    [one] 1 byte
   *[other] { $n } bytes
    }
size-kilobytes = { $n } kB
size-megabytes = { $n } MB
size-gigabytes = { $n } GB

## The bar with the steps, and the line below it.

step-card = Card
step-day-sheet = Day sheet
step-day-complete = { $specimens }, all complete
step-day-none-checked = { $specimens }, none checked
step-day-unchecked = { $specimens }, { $complete } complete, { $unchecked } unchecked
step-day-incomplete = { $specimens }, { $incomplete } incomplete
step-day-incomplete-unchecked = { $specimens }, { $incomplete } incomplete, { $unchecked } unchecked
step-specimen = Specimen
step-specimen-nth = { $nth } of { $of }
step-exchange = Exchange
step-exchange-none = nothing sent yet
step-exchange-heard = all heard of
step-exchange-open = { $n } not heard of
step-filing = Filing
step-filing-none = not filed
step-filing-done = filed
step-filing-to-go = filed, { $left } to go
step-name = { $step }: { $state }
tool-help = Help
tool-commands = Commands
tool-redo-what = Redo “{ $what }”
tool-undo-what = Undo “{ $what }”
tool-to-day-sheet = To the day sheet
tool-jar = Jar
tool-next-to-do = Next to do
tool-set-aside = Set aside
tool-split-before = Split before this
session-specimen = Specimen { $number }
session-frames-from-to = { $frames }, { $first } to { $last }
session-name-date = { $name }, { $date }
session-plan = { $views ->
    [one] Plan: { $plan }, 1 view
   *[other] Plan: { $plan }, { $views } views
    }
session-others = Read only
session-card-away = Card away
session-find-card = Choose its folder…
session-from-to = { $first } to { $last }
session-read = Read { $read }
session-read-of = { $read } of { $of }
session-read-on = Read { $read }, taken up where you left it
session-read-since = { $frames ->
    [one] Read { $read }, taken up where you left it, 1 frame since
   *[other] Read { $read }, taken up where you left it, { $frames } frames since
    }
close-message = Close the message

## The page before a card is open.

start-head = Open the day’s card
start-what = Endleaf splits the day’s frames into one set per specimen at the blank frames between them, and says at once which animal lacks which view. The card is only read, never changed.
start-back = Back to the open card
start-drop = Drop a card or a folder of pictures on this window
start-drop-any = With or without DCIM; any folder will do.
start-choose-name = Choose a folder
start-type-path = Or type the path of the folder
start-read = Read
start-watch = Watch
start-watch-name = Watch the folder
start-watch-what = Watch takes frames in as they arrive, by cable or wireless; the folder may be empty still.
start-path-hint = such as /media/card
start-path-name = Path of the card
start-plan = Round of views
start-plan-choose = { $plan }…
start-plan-name = Plan: { $plan }
start-views = { $n ->
    [one] 1 view: { $names }
   *[other] { $n } views: { $names }
    }
start-recent = Or go on with a day you opened before
start-recent-place = { $day }, { $place }
start-recent-name = Open { $day }: { $stand }
start-recent-queries = { $stand }, { $n ->
    [one] 1 query
   *[other] { $n } queries
}
start-recent-filing = { $stand }, { $filing }
start-demos = Or look around in a demo session; its days and animals are invented
start-demo-name = Demo session: { $demo }

## The card step: the trace, and the frames around the chosen one.

trace-title = Luminance spread, frame by frame
trace-name = Luminance spread, frame by frame. The arrow keys go from frame to frame
trace-line-by-hand = Line placed by hand; let the day place it
trace-line-by-day = Let the day place the line
trace-line-placed = Line placed by the day’s own frames.
trace-all-alike = All frames alike: the line is at its safe place.
trace-line-moves = { $placed } Drag it, or move it with { $up }, { $down }
trace-line-name = Line below which a frame is a blank
trace-blank-below = blank below { $level }
trace-two-animals = two animals?
trace-blank = blank? { $percent } %
trace-query-name = Query { $nth } of { $of }, about frame { $number }
trace-fault = Fault of frame { $number }
trace-pause-seconds = { $seconds } s
trace-pause-minutes = { $minutes } min
trace-pause-hours = { $hours } h { $minutes } min
trace-frame = Frame { $number }, { $kind }
trace-spread = { $file }, spread { $level }
trace-unread = { $file }, no picture could be read
card-frame = Frame { $frame }
card-frame-marked = { $number } marked
card-frame-kind = { $number } { $kind }

## The card step: what was read.

card-faults = Faults
card-no-faults = Every file could be read.
card-file-says = { $file }: { $says }
card-without-blank = { $frames ->
    [one] 1 frame has no usable blank near: their own border stood in for one.
   *[other] { $frames } frames have no usable blank near: their own border stood in for one.
    }
card-skipped = Skipped
card-gone = { $file }: gone from the folder
card-entries = { $n ->
    [one] 1 entry such as { $first }: { $reason }
   *[other] { $n } entries such as { $first }: { $reason }
    }
card-companions = { $n ->
    [one] 1 more file travels with its frame.
   *[other] { $n } more files travel with their frames.
    }
card-nothing-skipped = Nothing was left out.

## The card step: cameras and clocks.

clocks-head = Bodies and clocks
clocks-body = { $frames ->
    [one] { $body }: 1 frame
   *[other] { $body }: { $frames } frames
    }
clocks-correct = Correct…
clocks-correct-name = Correct the clock of { $body }
clocks-all-frames = All frames: { $source }
clocks-frames = { $frames ->
    [one] 1 frame: { $source }
   *[other] { $frames } frames: { $source }
    }
clocks-line-up = Line up two
clocks-line-up-with = Line up with { $number }
clocks-shown = Type the time that frame { $number } shows
clocks-clear = Clear

## Cameras, their clocks and the times of frames.

camera-unnamed = A camera that is not named
camera-body = { $camera }, body { $serial }
clock-fast = { $by } fast
clock-slow = { $by } slow
clock-as-set = as set, no correction
clock-as-set-by-hand = left as set, by hand
clock-by-hand = { $by } by hand: it was { $off }
clock-estimated = { $by } estimated, { $sure } % sure: it was { $off }
clock-by-zones = { $by } by the zones that the cameras recorded
time-camera-said = the camera said { $time }; { $clock }
time-no-zone = zone not recorded

## Two cameras lined up.

line-up-head = Do these frames show the same moment?
line-up-frame = Frame { $number }
line-up-frame-at = Frame { $number }, { $time }
line-up-stays = { $body }: stays as it is
line-up-moves = { $body }: is corrected
line-up-then = Then the clock of the second was { $off }: { $by } is added to it.
line-up-go = Line them up

## Frames and specimens, wherever they are told of.

frame-gone = gone
frame-not-labelled = not labelled
frame-best-of = best of { $of }
frame-your-best-of = your best of { $of }
frame-nth-of = { $nth } of { $of }
frame-name = Frame { $number }: { $view }
frame-name-flaw = Frame { $number }: { $view }, { $flaw }
jar-read = card { $jar }
jar-written = jar { $jar }
limit-none = No holding limit set
limit-is = Your limit: { $min } min
limit-as-last = Your limit: { $min } min, as last time

## How a view or a frame of it stands.

stand-good = good
stand-poor = { $flaw }, { $stand }
stand-confirmed = confirmed
stand-proposed = proposed
stand-missing = missing
stand-open = not known yet
stand-not-asked = not asked
picture-broken = cannot be shown

## How a specimen stands, on the day sheet.

sheet-being-shot = being shot
sheet-complete = complete
sheet-unchecked = unchecked
sheet-no-view = no { $view }
sheet-poor-view = { $view } { $flaw }
sheet-short = { $n ->
    [one] { $spelled } view short
   *[other] { $spelled } views short
    }
sheet-missing = { $spelled } views missing
sheet-missing-or-poor = { $spelled } views missing or poor
sheet-queries = { $n ->
    [one] { $words }, 1 query
   *[other] { $words }, { $n } queries
    }

## The rows of specimens.

sheet-left = { $words }, { $left }
sheet-sort-shot = Sort: in order
sheet-sort-urgency = Sort: most urgent first
sheet-sort-lacks = Sort: most lacking first
sheet-only-all = Show: all
sheet-only-incomplete = Show: incomplete
sheet-only-unchecked = Show: unchecked
sheet-only-asked = Show: with queries
sheet-chosen = { $n } rows chosen
sheet-none-shown = No specimen is like that now. { $key } goes on to the next choice of rows.
sheet-jar-run = The run { $run } has { $jars } jars and there are { $rows } rows from here on: it was filled in as far as they go.
retakes-copied = The retake list is copied: { $n ->
    [one] 1 animal
   *[other] { $n } animals
}.
retakes-line = { $number }: { $lacks }
sheet-list-name = Specimens of the day
sheet-jar-hint = jar
sheet-jar-name = Jar label
row-name = { $frames ->
    [one] Specimen { $number }: { $words }, 1 frame
   *[other] Specimen { $number }: { $words }, { $frames } frames
    }
row-name-jar = { $frames ->
    [one] Specimen { $number }, { $jar }: { $words }, 1 frame
   *[other] Specimen { $number }, { $jar }: { $words }, { $frames } frames
    }
specimen-label = Label as { $view }
row-slot = { $view } of { $specimen }: { $stand }
row-slot-why = { $view } of { $specimen }: { $stand } ({ $why })
row-word-nth = { $word }, { $nth }
row-more = { $n } more
row-set-aside = { $n } set aside
row-gone = { $n } gone
row-not-labelled = { $n } not labelled

## The retake list, beside the day sheet and large.

retake-name = Retake { $number }: { $lacks }
retake-release = Release
retake-since = since { $time }
retake-again = { $view } { $why }
retakes-none = Nothing to retake
retakes-count = { $n ->
    [one] 1 retake
   *[other] { $n } retakes
    }
retakes-close = Close the retake list
retakes-specimen = specimen { $number }
retakes-name-jar = Retake { $number }, { $jar }: { $lacks }
retakes-released = Released
retakes-released-name = Specimen { $number } was released
retakes-flew = Flew
retakes-flew-name = Specimen { $number } flew
retakes-key = { $key } { $does }
retakes-head = Retake list
retakes-none-known = No animal is known to lack a view.
retakes-large = fill window
retakes-large-name = Fill the window with the retake list

## Queries.

queries-head = Queries
queries-none = Nothing to decide.
queries-next = Next query
queries-name = Query: { $question }
queries-answer-name = { $question }: { $answer }

## The specimen step: the picture and the line below it.

viewer-name = Picture of the chosen frame
viewer-only-preview = Only a preview can be shown. { $why }
viewer-name-beside = Picture of the frame held beside
viewer-fitted = fitted, { $percent } %
viewer-pixels = pixel for pixel
viewer-zoomed = { $percent } %
viewer-zoom-name = Fitted or pixels
viewer-nth = { $nth } of { $of }
viewer-frame = Frame { $number }
carry-to = To specimen { $number }
viewer-beside = Frame { $number }, { $view }
viewer-over-coming = Looking…
viewer-over-blind = The picture cannot be looked at
viewer-over-no-sharp = Nothing sharp stands out
viewer-over-no-lost = Nothing blown out or black
viewer-over-sharp = Tinted where sharpest
viewer-over-lost = Hatched: / blown out, \ black
viewer-view = { $view }, { $stand }
viewer-view-nth = { $view }, { $stand }, { $nth }

## The specimen step: the record beside the picture.

record-head = Record
record-this-frame = this frame
record-jar = Jar
record-jar-hint = label on the jar
record-jar-read = { $jar }, read from its card
record-note = Note
record-note-hint = anything worth keeping
record-views = Views
record-confirmed = { $confirmed } of { $asked } confirmed
record-past = { $held }.
record-short = Short: { $lacks }.
record-all-confirmed = Every view asked for is confirmed.
record-proposed-by-order = Proposed from the order of the round. Press a view’s letter to say what this frame shows, or confirm all that is proposed.
record-proposed-by-looks = Proposed from the order of the round and from looks. Press a view’s letter to say what this frame shows, or confirm all that is proposed.
record-press-letter = Press a view’s letter to say what this frame shows; the next frame follows by itself.
record-all-labelled = Every frame has its view.
record-confirm = Confirm { $n } proposed
record-time = Time
record-held = Held { $held }
record-missing = missing
record-faults = Faults
record-evidence = Evidence
record-evidence-large = Evidence for this frame, large

## The pages beside a specimen, and the fields of records.

side-views = Views
side-record = Record
side-names = Names
side-characters = Characters
side-measures = Measures
colour-pick = Pick from the picture
colour-how = A click on the picture picks as well. { $larger } and { $smaller } make the circle larger and smaller.
colour-hint = Click to pick a colour for the open region: a circle of { $px } px
colour-waits = Working out the colour against the blank
colour-take = Take { $word }
colour-lab = L* { $l }, a* { $a }, b* { $b }
colour-nearest = nearest to { $first } (ΔE00 { $far }), then { $second } ({ $further })
colour-balanced = { $frame }, light by the blank, frame { $blank }. Tells one day’s colours apart; it is no calibrated colour.
colour-unbalanced = { $frame }, light not balanced. Tells one day’s colours apart; it is no calibrated colour.
colour-doubt = Doubtful: { $doubt }.
colour-nothing = No part of the picture lies in the circle. Move it onto the animal and pick again.
colour-failed = The colour could not be worked out. Nothing was changed; pick again.
measure-head = On this frame
measure-no-scale = No scale yet. Mark a length you know, such as 10 mm of a ruler lying as high as the animal, or carry the scale from another frame. Ratios need none.
measure-begin-known = Known length
measure-begin-line = Line
measure-begin-polyline = Polyline
measure-choose = { $next } and { $previous } open a mark, as a click on it does.
measure-what = As far as thought possible; empty is none. A length that leans 10° looks 1.5 % too short, 20° makes 6 %; what lies 4 mm nearer than the scale at 200 mm looks 2 % too long.
measure-chosen = The chosen mark
measure-line = line
measure-polyline = polyline
measure-known = known length
measure-known-label = { $mm } mm, known
measure-mm = { $value } mm
measure-px = { $value } px
measure-mark-name = { $mark }: { $value }
measure-point-name = Point { $point } of { $mark }
measure-known-mm = Length
measure-known-standard = Uncertainty
measure-known-hint = 10
measure-unit = mm
measure-known-what = The standard uncertainty of the length itself; 0.02 mm is about what the eye tells on a printed ruler.
measure-plane = Out of the scale's plane
measure-tilt = Tilt, up to
measure-tilt-unit = degrees
measure-depth = Depth, up to
measure-depth-unit = %
measure-plane-refused = Not written yet: a tilt is a number from 0 to below 90, a depth one from 0 to 100.
measure-known-refused = Not written yet: write the length as a number above 0, such as 10, and its uncertainty as one not below it.
measure-what-hint = or a name of your own
measure-what-name = What it measures
measure-twice = One standard uncertainty; { $value } mm with twice that.
measure-made-of = Of it placing the points { $placing } %, scale { $scale } %, tilt { $tilt } %, depth { $depth } %.
measure-placing = { $value } px; points within { $placing } px, one pixel of the screen as it was shown.
measure-scale = Scale
measure-scale-none = none
measure-scale-own = this frame
measure-scale-carried = frame { $number }
measure-scale-last = Several known lengths are marked on this frame: the one marked last counts.
measure-scale-nowhere = No frame of the day has a known length marked.
measure-carried-differs = Likely wrong: not the same { $what } as where the scale was marked.
measure-carried-unknown = Not recorded, so not checked: { $what }. The scale holds only where these are the same.
measure-divide = Divided by
measure-divide-none = nothing
measure-ratio = Ratio { $value }
measure-state = Take { $character }: { $state }
measure-state-or = Within its uncertainty it may be { $state } as well.
measure-implausible = No bumble bee is known to be so: the scale or the points are likely wrong.
measure-outside = Outside 2.5 to 6.5 mm, the range measured on bumble bees: look at scale and points again.
measure-mass = Dry mass, estimated
measure-mass-mg = { $value } mg by this distance
measure-mass-spread = Two in three single bees of that distance lie between { $from } and { $to } mg.
measure-mass-no-spread = How far single bees lie from it is not known to us.
measure-mass-what = An estimate of a kind of bee, never the weight of this animal.
measure-no-picture = The picture is not there yet, so nothing can be measured on it. Nothing was changed; try again once it is shown.
measure-hint-known = Point { $point } of 2 of the known length: click, or move the cross by arrow keys and press Space. Esc cancels.
measure-hint-line = Point { $point } of 2: click, or move the cross by arrow keys and press Space. Esc cancels.
measure-hint-polyline = Point { $point }: click, or move the cross by arrow keys and press Space. Enter ends, Backspace takes a point back, Esc cancels.
measure-between-name = Between points { $point } and { $next } of { $mark }
measure-hint-move-polyline = Point { $point } of { $of }: arrow keys move it, with Shift by ten pixels; Tab goes to the next, Insert puts one behind it, Backspace takes it away. Enter ends.
measure-hint-move = Point { $point } of { $of }: arrow keys move it, with Shift by ten pixels; Tab goes to the next. Enter ends.
measure-delete = Delete this mark
characters-list = Visible characters. Up and down go through them, left and right or digits choose
characters-parts = Characters
characters-colours = Colours of hair
characters-count = { $looked } of { $of } looked at
characters-row = { $character }: { $scored }
characters-empty = –
characters-share-how = + and − say how much of it the first colour covers, by tens.
characters-share = { $state } { $percent } %
characters-most = Up to { $most } together. ← and → go to one, Space takes it.
characters-source = Source: { $source }
characters-show-frame = Show frame { $number }, { $view }
characters-frame-shown = Shown by this frame, { $number }, { $view }.
characters-no-frame = No frame of { $views } yet: nothing here can show it.
characters-views = { $first } or { $last }
characters-odd = What does not go together
characters-unseen = Noted although no frame shows it: { $characters }. From life, or from the wrong frame?
characters-none = No characters are written for this round of views: there is nothing to score. Choose another plan, or write what you see into the note.
characters-not-fitting = The characters do not fit this plan: { $fault } Give the plan that view, or choose another plan.
characters-what = “Not seen” says that someone looked and could not tell; a dash, that nobody looked. No species or sex follows from any of it.
record-carry = As the one before, where empty
record-day = What holds for the whole day
record-nothing-to-carry = The specimen before says nothing of where and how it was found that is not written here too.
form-various = not the same in all of them
form-name = { $name }: { $words }
form-of-day = { $text } (the day’s)
form-fault = Not written yet: { $fault }.
form-keep = Keep it as it is
form-kept-so = Kept all the same.
form-place = Understood as { $lat }, { $lon }. As it is written it is no finer than { $metres } m.
fields-day = About the day: { $name }
fields-day-note = Holds for every specimen that says nothing else. Who works under which terms is asked once and remembered.
fields-chosen = Fill in for { $n ->
    [one] one specimen
   *[other] { $n } specimens
}
fields-chosen-note = What is typed here is written for all of them, in place of what stands there; what is left alone stays.
fields-done = Done
lists-refused = A list of names was passed over. { $fault }: { $path }
notes-head = Read notes of the field
notes-path = Path of the notes
notes-path-hint = such as /home/me/notebook.csv
notes-what = A field notebook as CSV or TSV from any spreadsheet, or a track as GPX. It can also be dropped on the window. Nothing is written before you have looked at it.
notes-read = Read it
notes-reading = Reading { $path }
notes-unread = { $fault }. Nothing was written: { $path }
notes-broke-off = Reading the notes broke off. Nothing was written.
notes-nothing-new = Nothing in it is new.
notes-notebook = Field notebook: { $name }
notes-tab = tabs
notes-dialect = { $encoding }, cells parted by “{ $parted }”
notes-columns = Columns
notes-change = ← → changes
notes-column = { $header }: { $meaning }
notes-column-jar = Jar
notes-column-number = Number
notes-column-notes = Note
notes-column-name = Name given
notes-column-latitude = Latitude
notes-column-longitude = Longitude
notes-column-out = left out
notes-rows = { $n ->
    [one] One row
   *[other] { $n } rows
}
notes-open = { $n ->
    [one] one to decide
   *[other] { $n } to decide
}
notes-row = Line { $line }, { $text }: { $about }
notes-row-none = about no specimen
notes-row-perhaps = perhaps { $number }, { $why }
notes-row-about = { $number }, { $why }
notes-leaves-open = { $n ->
    [one] The doubtful row is left out until you decide.
   *[other] The { $n } doubtful rows are left out until you decide.
}
notes-leaves-kept = { $n ->
    [one] One value that stands already stays.
   *[other] { $n } values that stand already stay.
}
notes-leaves-sets = { $n ->
    [one] No row is about one specimen.
   *[other] No row is about { $n } specimens.
}
notes-take = Take it
notes-replace = Write over what stands
notes-track = Track: { $name }
notes-track-what = Each specimen gets the place where its first frame was taken. That is where it was caught only if it was photographed there.
notes-placed = { $number }: { $lat }, { $lon }, within { $metres } m
notes-not-placed = { $number }: no place, { $why }
notes-zone = The frames do not say their zone: local time is taken as UTC { $zone }; ← → changes it.
notes-zone-open = The frames do not say their zone: ← → says how far local time is ahead of UTC.
notes-kept-places = { $n ->
    [one] One specimen has a place already, which stays.
   *[other] { $n } specimens have a place already, which stays.
}
map-head = Map of the day: { $name }
map-name = Map with { $n ->
    [one] one specimen
   *[other] { $n } specimens
}
map-empty = No place is known yet: type coordinates in the record, or read a track.
map-what = Drawn from coordinates alone; nothing is fetched. Dots are specimens, the square is the day’s site, the line is the way.
map-metres = { $n } m
map-kilometres = { $n } km
map-north = N
sent-head = Sent and heard
sent-none = Nothing of this day was sent to be named yet.
sent-to = { $to }, sent { $on }
sent-what = { $pictures ->
    [one] one picture
   *[other] { $pictures } pictures
} of { $numbers }
sent-heard = answered { $on }: { $what }
sent-overdue = wanted by { $by }: { $days ->
    [one] a day overdue
   *[other] { $days } days overdue
}
sent-open = no answer yet
sent-open-by = no answer yet, wanted by { $by }
sent-note-heard = Note the answer
sent-note-heard-name = Note the answer of { $to }
sent-heard-on = Answered on
sent-heard-what = What came back
sent-heard-what-hint = in words; names go to the page of names
sent-new = { $n ->
    [one] Send the chosen specimen
   *[other] Send the { $n } chosen specimens
}
sent-whom = To whom or where
sent-whom-hint = a person, a museum, a forum
sent-on = Sent on
sent-wanted-by = Answer wanted by
sent-wanted-by-hint = such as 2026-07-14; empty for no day
sent-add = Note it as sent
sent-pictures = The best picture of each confirmed view is noted as sent. Coarsen the place of a sensitive species before you share it.
names-given = Names given
names-none = Nobody has named it yet. Endleaf names no animal: it keeps what people say.
names-agree = all agree
names-decided = they differ, one is accepted
names-differ = they differ
names-stands-given = given
names-stands-accepted = accepted
names-stands-superseded = superseded: { $reason }
names-accept = Accept
names-accept-name = Accept { $name }
names-supersede = Supersede
names-supersede-name = Supersede { $name }
names-reason = Why it does not hold any more
names-reason-hint = why it does not hold any more
names-new = Another name
names-name = Name
names-name-hint = genus and species, or what is sure
names-authorship = Authorship
names-qualifier = Qualifier
names-rank = Rank
names-rank-hint = species, genus
names-by = Given by
names-by-hint = who
names-date = On
names-date-hint = such as 2026-06-14, 2026-06 or 2026
names-ground = Ground
names-ground-hint = what was seen, which key
names-source = From
names-source-hint = letter, pack, own look
names-add = Add the name
names-sensitive = A list of yours calls this name sensitive: coarsen its place before you share it.
names-no-lists = Names are offered as you type once lists (CSV: scientific name, authorship, vernacular name, rank, sensitive) lie in the folder checklists of the data folder, which Help names.
names-what = A name is never changed once it stands here: another is set beside it, and one that does not hold any more is superseded.
term-event-date = Date
term-event-date-hint = such as 2026-06-14, if the cameras do not say it
term-recorded-by = Recorded by
term-recorded-by-hint = names, parted by |
term-sampling-protocol = Method
term-sampling-protocol-hint = hand net, sheet, trap
term-locality = Site
term-locality-hint = the place by name
term-coordinates = Coordinates
term-coordinates-hint = such as 52.2001, 0.1203 or 52°12′0″N 0°7′13″E
term-uncertainty = Uncertainty, m
term-uncertainty-hint = such as 10; empty if not known
term-georeference-sources = How it was got
term-georeference-sources-hint = phone, map, track
term-habitat = Habitat
term-habitat-hint = what surrounds the place
term-event-time = Caught at
term-time-hint = such as 10:23
term-plant = Plant or ground
term-plant-hint = what it was taken from
term-sex = Sex
term-caste = Caste
term-life-stage = Life stage
term-behavior = Behaviour
term-behavior-hint = what it did
term-held-from = Cold since
term-released-at = Let go where
term-released-at-hint = at the place of capture
term-sensitivity = Sensitivity
term-creator = Photographer
term-rights-holder = Rights holder
term-license = Licence
term-license-hint = an address, https://…
term-language = Language
term-language-hint = such as en

## The evidence for a frame.

evidence-seek = Working out the evidence
evidence-head = Why frame { $number } is taken for what it is
evidence-close = Close the evidence

## The filing step.

filing-head = What filing does
filing-planning = Working out what filing would do.
filing-name-archive = Name the archive: the folder that all sessions are filed into. Every file and its new name is shown here before anything is copied.
filing-archive = Archive
filing-archive-hint = such as /home/you/archive
filing-archive-name = Archive to file into
filing-choose-name = Choose the archive
filing-use-proposed = Let proposed views stand in file names too; otherwise only confirmed ones do
filing-go = { $files ->
    [one] File 1 file
   *[other] File { $files } files
    }
filing-all-filed = Everything is filed: check it again
filing-go-moves = { $files ->
    [one] Move 1 file
   *[other] Move { $files } files
    }
filing-nothing-yet = Nothing yet. The card is never changed.
filing-not-wholly = Not wholly filed
filing-receipt = Receipt
filing-copied = { $files ->
    [one] 1 file copied and read back, { $bytes }.
   *[other] { $files } files copied and read back, { $bytes }.
    }
filing-filed-before = { $files ->
    [one] 1 file was there already and was read again.
   *[other] { $files } files were there already and were read again.
    }
filing-folder = Folder
filing-to-copy = To copy
filing-files-bytes = { $files ->
    [one] 1 file, { $bytes }
   *[other] { $files } files, { $bytes }
    }
filing-there = There already
filing-specimens = Specimens
filing-none-confirmed = No view is confirmed, so every name says frame. Names can be made better later; files are never lost.
filing-safe = Each copy is read back and compared before it gets its name. Nothing in the archive is replaced, and the card is only read.
filing-column-frame = Frame
filing-column-from = On the card
filing-column-to = In the archive
filing-column-size = Size
filing-column-state = State
filing-fate-left = left
filing-fate-copy = to copy
filing-fate-copy-altered = to copy, name changed
filing-fate-moves = moves in the archive
filing-fate-moves-altered = moves, name changed
filing-fate-sidecar = sidecar
filing-fate-sidecar-moves = sidecar, moves
filing-fate-same = same as another
filing-fate-elsewhere = in another session
filing-fate-before = filed before
filing-why-moves = its labels, jar or names have changed since it was filed
filing-why-sidecar = written from what is known of the frame; rewritten where that has changed
filing-why-same = the same bytes lie on the card twice; they are filed once
filing-why-elsewhere = another session filed these very bytes; they are read again, not copied
filing-why-before = it lies there with its size; it is read again and compared
filing-why-confirmed = named by its confirmed view
filing-why-proposed = named by its proposed view, which nobody has confirmed
filing-why-unconfirmed = no view of it is confirmed, so its name says frame
filing-why-kind = it is kept as { $kind }
filing-why = { $state }: { $why }
filing-to = → { $to }
filing-into = Into { $archive }
filing-other = The other archive
filing-line = { $state }: { $from } → { $to }
filing-sort-by = Sort by { $column }
filing-sorted = { $column }, sorted
filing-sorted-back = { $column }, sorted the other way round
filing-second = Second archive
filing-second-name = Second archive to file into
filing-second-hint = a backup, best on another disk
filing-choose-second-name = Choose the second archive
filing-needs = { $needed } needed
filing-room = { $needed } needed, { $free } free
filing-names = Names
filing-plan-of = Archive
filing-to-move = To move
filing-altered = Names changed
filing-sidecars = Sidecars
filing-same = Same twice
filing-left = Left
filing-more = { $n ->
    [one] And 1 remark more.
   *[other] And { $n } remarks more.
    }
filing-moved = { $files ->
    [one] 1 file was moved to another name.
   *[other] { $files } files were moved to other names.
    }
filing-sidecars-written = { $files ->
    [one] 1 sidecar written.
   *[other] { $files } sidecars written.
    }
filing-lie-elsewhere = { $files ->
    [one] 1 file lies in { $folder }.
   *[other] { $files } files lie in { $folder }.
    }
filing-copies-on-card = { $files ->
    [one] 1 file of the card has the bytes of one that is filed.
   *[other] { $files } files of the card have the bytes of ones that are filed.
    }
filing-receipt-lies = Every file with its checksum is listed in receipt.txt: { $folder }
filing-other-not-whole = The other archive is not wholly filed: do not wipe the card.
filing-take-back = Take the last filing back
filing-take-back-note = Only the last filing into an archive can be taken back. You are asked first.

## The choice of names.

names-head = Names of folders and files
names-keys = arrows go, Space puts in or takes out, Ctrl ↑ ↓ moves
names-folder = Folder of a specimen
names-file = File
names-joiner = Joined by
names-joiner-none = nothing
names-joiner-space = a space
names-join-by = Join by { $joiner }
names-field-date = date
names-field-time = time
names-field-session = session
names-field-specimen = specimen
names-field-jar = jar
names-field-view = view
names-field-original = original
names-field-n = number
names-in-folder = { $field }, { $nth } in folder names
names-not-in-folder = { $field }, not in folder names
names-in-file = { $field }, { $nth } in file names
names-not-in-file = { $field }, not in file names
names-take-out = Take out: { $field }
names-put-in = Put in: { $field }
names-up = Move up: { $field }
names-down = Move down: { $field }
names-example = Such as { $path }
names-no-example = There is no frame to name.
names-refused = { $why }.
names-distinct = Every folder and every file is told apart by these names.
names-frames-alike = { $n ->
    [one] For 1 file these fields do not differ from another’s: a number is added there.
   *[other] For { $n } files these fields do not differ from others’: a number is added there.
    }
names-folders-alike = { $n ->
    [one] For 1 folder these fields do not differ from another’s: a number is added there.
   *[other] For { $n } folders these fields do not differ from others’: a number is added there.
    }
names-both-alike = These fields do not tell all apart: a number is added to { $folders } folders and { $frames } files.
names-go = Take these names

## Taking the last filing back, and going on with one that was cut short.

take-back-head = Take the last filing back?
take-back-of = { $folder }, filed { $at } UTC into { $archive }
take-back-files = { $files ->
    [one] 1 copy goes, { $bytes }; the card holds the same bytes.
   *[other] { $files } copies go, { $bytes }; the card holds the same bytes.
    }
take-back-moves = { $files ->
    [one] 1 file gets the name back that it had.
   *[other] { $files } files get the names back that they had.
    }
take-back-safe = Everything was just compared with the card, and is again before it goes. Labels, jars and notes stay in the session. Filing again files it anew.
take-back-go = Take it back
take-back-look = Looking what taking it back would do
take-back-now = Taking the last filing back
take-back-none = There is nothing to take back: no filing was done, or the last one was taken back already: { $archive }
take-back-refused = The last filing cannot be taken back without losing something; nothing was taken away. { $reasons }. Put its card in and open it; move a file that you changed on purpose out of the archive: { $archive }
take-back-refused-more = The last filing cannot be taken back without losing something; nothing was taken away. { $reasons }; and { $more } more. Put its card in and open it; move files that you changed on purpose out of the archive: { $archive }
take-back-done = { $files ->
    [one] Taken back: 1 copy went from { $folder }. The card holds it as before.
   *[other] Taken back: { $files } copies went from { $folder }. The card holds them as before.
    }
take-back-broke-off = Taking the filing back broke off unexpectedly. Nothing on the card was changed. Take it back again; it goes on from there
go-on-head = A filing was not brought to its end
go-on-filed = { $folder }: { $filed } of { $of } files are in the archive, read back and recorded. Do not wipe the card yet. Going on copies only what is left.
go-on-undoing = { $folder } was being taken back when it was cut short. File its card again, or take it back again.
go-on-card = Its card was at { $card }
go-on-go = Go on
go-on-later = Later

## The help page.

help-head = Keys
help-care = Care
help-words = Words
help-word-plan = Plan
    .meaning = The round of views asked of each specimen, in the order in which they are shot.
help-word-blank = Blank
    .meaning = A frame with nothing on it. It closes the set of one animal.
help-word-set = Set
    .meaning = The frames between two blanks: one animal.
help-word-retake = Retake
    .meaning = A later set of an animal that lacked a view. The retake list says which animals still do.
help-word-reference = Reference frame
    .meaning = A ruler, grey card, clock face or jar card: neither blank nor animal.
help-word-aside = Set aside
    .meaning = Kept and filed, but not used.
help-word-query = Query
    .meaning = Something that could be read in two ways: asked with its evidence, yours to decide.
help-word-unchecked = Unchecked
    .meaning = A specimen with views that are only proposed. Confirm them, or label by hand.
help-kept = Where things are kept
help-kept-where = Sessions, settings, plans of your own and what was learned of views lie in { $home }. Pictures stay where they are until you file them; the card is only ever read.
help-kept-previews = Small pictures that took long to make lie in a cache of at most { $most }, which { $key } empties: { $cache }
help-label = Label the frame: { $view }

## The list of plans.

plans-head = Which round of views?
plans-plan = Plan { $plan }
plans-views = { $views ->
    [one] 1 view
   *[other] { $views } views
    }
plans-in-use = { $views ->
    [one] 1 view · in use
   *[other] { $views } views · in use
    }

## What was learned of views, and forgetting it.

learned-read = Reading what was learned
learned-from = { $specimens ->
    [one] Learned on this computer from 1 specimen; frames: { $views }
   *[other] Learned on this computer from { $specimens } specimens; frames: { $views }
    }
learned-forgotten = Forgotten what the views of { $plan } look like. Every confirmed label stands.
forget-head = Forget what the views of { $plan } look like?
forget-learned = { $learned }.
forget-nothing = Nothing was learned of them on this computer yet.
forget-stays = Every confirmed label stands. What you confirm from now on is learned again, and the labels of this session with its next change. This cannot be undone.
forget-go = Forget

## Questions.

ask-find = Which jar, or which specimen?
ask-find-name = Jar label or number of the specimen
ask-find-hint = Jar or number
ask-find-note = A jar label comes before a number; the beginning of a label is enough.
ask-find-go = Go to it
ask-note = { $n ->
    [one] Note for the chosen specimen
   *[other] One note for { $n } specimens
    }
ask-note-name = Note
ask-note-note = It replaces what is written there. Take it back with undo.
ask-note-go = Write
ask-number-hint = Number
ask-move = Move frame { $number } to which specimen?
ask-move-name = Number of the specimen
ask-move-note = 1 to { $last }; its label goes along.
ask-move-go = Move
ask-retake = Specimen { $number } is a retake of which one?
ask-retake-name = Number of the earlier specimen
ask-retake-note = Its frames go to that specimen, with their labels. Take it back with undo.
ask-retake-go = Join
ask-shift = How far off was the clock of { $body }?
ask-shift-name = Hours, minutes and seconds to add
ask-shift-hint = such as −1:03:17
ask-shift-none = The clock is left as it was set.
ask-shift-was = The clock was { $off }.
ask-shift-note = Hours, minutes and seconds to add to what it said, as +0:00:12; with a minus for a clock that was fast. The pictures stay as they are.
ask-correct-go = Correct
ask-shown = Which time does frame { $number } show?
ask-shown-name = Time that the frame shows
ask-shown-hint = such as 10:23:45
ask-shown-right = Its camera’s clock was right.
ask-shown-was = Its camera’s clock was { $off }.
ask-shown-said = Its camera said { $date } { $time }. Add the date where that is wrong too.
ask-limit = How long do you mean to hold an animal at most?
ask-limit-name = Minutes
ask-limit-hint = Minutes
ask-limit-note = In minutes, by your own rule or your permit: Endleaf assumes none. Leave it empty for no limit. Past it the retake list says release.
ask-limit-go = Set

## Why an answer that was typed cannot be taken.

reply-no-card = No card is open.
reply-not-found = No specimen has a jar or number like that.
reply-no-specimen = There is no specimen of this number.
reply-frame-in-none = The frame is in no specimen any more.
reply-frame-in-it = The frame is in this specimen already.
reply-frame-not-there = The frame is not there any more.
reply-frame-no-time = This frame has no time of its own.
reply-retake-later = A retake comes after its specimen: choose an earlier one.
reply-no-time-typed = Type the time as 10:23:45, or with its date as 2026-06-14 10:23:45.
reply-no-camera = The camera of this frame is not known.
reply-no-minutes = Type whole minutes, such as 15; nothing for no limit.

## What was done, after “Undo”: small first letter, no full stop.

undo-line-by-day = let the day place the line
undo-move-line = moved the blank line to { $level }
undo-split-before = split before frame { $number }
undo-join = joined { $first } and { $second }
undo-clear-view = cleared the view of frame { $number }
undo-label = labelled frame { $number } { $view }
undo-confirm = confirmed the views of { $specimen }
undo-best-by-measures = left the best frame to the measures at frame { $number }
undo-take-best = took frame { $number } for the best of its view
undo-take-for-specimen = took frame { $number } for a specimen
undo-take-for = took frame { $number } for a { $kind }
undo-set-aside = set frame { $number } aside
undo-move-frame = moved frame { $number } to { $specimen }
undo-take-as-retake = took { $retake } for a retake of { $specimen }
undo-answer = { $answer } at frame { $number }
undo-write-jar = wrote the jar of { $specimen }
undo-fill = wrote { $field } of { $specimen }
undo-fill-day = wrote { $field } of the day
undo-fill-many = wrote { $field } of { $n } specimens
undo-answers = wrote the names of { $name }
undo-notebook = took the notebook { $name }
undo-track = took the track { $name }
undo-sent = sent to { $to }
undo-heard = heard from { $to }
undo-score = scored { $character } of { $specimen }
undo-unscore = emptied { $character } of { $specimen }
undo-colour = took { $word } for { $region } of { $specimen }
undo-mark-line = marked a line on frame { $number }
undo-mark-polyline = marked a polyline on frame { $number }
undo-move-mark = moved a point of { $mark } on frame { $number }
undo-delete-mark = deleted { $mark } on frame { $number }
undo-name-mark = named { $mark } on frame { $number } { $what }
undo-known = gave { $mm } mm to the known length on frame { $number }
undo-scale-none = took the scale from { $mark } on frame { $number }
undo-point-more = added a point to { $mark } on frame { $number }
undo-point-less = took a point from { $mark } on frame { $number }
undo-plane = said how { $mark } on frame { $number } may lie out of the plane
undo-scale-own = measured { $mark } on frame { $number } by its own scale
undo-scale-carried = measured { $mark } on frame { $number } by the scale of frame { $from }
undo-ratio = divided { $mark } on frame { $number }
undo-name = named { $specimen } { $name }
undo-accept = accepted a name of { $specimen }
undo-supersede = superseded a name of { $specimen }
undo-carry-over = carried over to { $specimen }
undo-write-note = wrote the note of { $specimen }
undo-left = noted that { $specimens } { $left }
undo-left-not = took back that { $specimens } left
undo-join-several = joined { $specimens }
undo-write-notes = wrote the note of { $n } specimens
undo-write-jars = wrote the jars { $run }
undo-take-names = chose other names
undo-take-plan = took the plan { $plan }
undo-clear-clock = cleared the clock of { $body }
undo-clock-by-frame = corrected a clock by frame { $number }
undo-line-up = lined up frames { $first } and { $second }
undo-clock-as-set = clock of { $body }: left as set
undo-clock-was = clock of { $body }: was { $off }
undo-no-limit = took the holding limit away
undo-limit = set the holding limit to { $min } min

## Why a command cannot be run just now.

not-no-path = No path is typed
not-no-card = No card is open
not-nothing-done = Nothing was done yet
not-nothing-back = Nothing was taken back
not-no-specimens = There are no specimens
not-no-mark-open = No mark is being placed or moved
not-no-mark-chosen = No mark is chosen
not-no-marks = Nothing is marked on this frame
not-nothing-offered = Nothing is offered
not-no-region = No region of colour is open
not-no-characters = No list of characters is open
not-line-by-day = The day places the line already
not-not-neighbours = Only rows next to each other can be joined
not-others = Another window has this session
not-card-away = The card is not there
not-no-retakes = No animal is on the retake list
not-no-queries = There are no queries
not-no-answer = No query waits for this
not-no-camera-time = This frame has no time by a camera
not-clock-undecided = Nothing was decided about this clock
not-nothing-kept = Nothing is kept on this computer
not-all-looked-at = Every frame was looked at
not-frame-gone = The frame is gone from its folder
not-all-complete = All are complete
not-largest = They are as large as can be
not-smallest = They are as small as can be
not-first-specimen = This is the first specimen
not-last-specimen = This is the last specimen
not-nothing-proposed = Nothing is proposed for this specimen
not-no-view = This frame has no confirmed view
not-only-frame = No other frame shows this view
not-begins-here = A specimen begins here already
not-no-frame-of-specimen = No frame of a specimen is chosen
not-no-frames = There are no frames
not-no-frame = No frame is chosen
not-nothing-filed = nothing is filed yet
not-unnamed-unsaid = say first how sensitive an animal without a name counts
not-archive-unread = the archive is not looked at yet
not-no-target = say where it is to stand
not-no-address = an address below which pictures are served begins with https://
not-neighbours-unsaid = say what becomes of the records that give a sensitive place away
not-day-unfiled = this day is not filed in that archive
not-nothing-planned = No filing is worked out
not-one-archive = Only one archive is named
not-no-archive = No archive is named
not-no-filing = Nothing is being filed

## Work beside the window.

language = en
retake-page-of = { $name }, { $date }. As it stood at { $made }.
retake-page-done = Done
retake-page-specimen = Specimen
retake-page-jar = Jar
retake-page-lacks = What it lacks
retake-page-held = Held
print-opened = The retake list was opened where pages are shown; print it from there. It lies here: { $page }
print-not-opened = The page was made, but could not be opened: { $why }. Open it by hand: { $page }
sound-on = Two tones tell when a set closes with a view missing. This is how they sound.
sound-off = No sound any more.
sound-not-played = The sound could not be played: { $why }.
sound-no-player = no program that plays sounds was found, or none could: { $players }
day-others = This session is open in another window of Endleaf, so here it can only be looked at. Close it there and open the card again to change it.
day-card-away = The card is not there, so no pictures can be shown; its records are here, whole, and can be worked on. Put the card back and open it again, or open the folder where its frames are now. It was here: { $card }
day-other-plan = The plan “{ $plan }” has changed since this session was begun. The session keeps the views it was begun with; { $key } takes the other.
read-card = Reading { $card }
read-card-broke-off = Reading the card broke off unexpectedly. Nothing more was done. Try it again
folder-card = The card, or a folder of pictures
folder-archive = The archive to file into
folder-exchange = The archive that documents are made of
folder-target = The folder in which it is to stand
folder-second = The second archive to file into
folder-no-dialog = This computer offers no folder dialog here. Type the path of the folder instead.
plan-filing = Working out what filing would do
plan-filing-broke-off = Working the filing out broke off unexpectedly. Nothing more was done. Try it again
file-now = { $files ->
    [one] Filing 1 file, { $bytes }
   *[other] Filing { $files } files, { $bytes }
    }
file-again = Reading again what is filed
file-now-broke-off = Filing broke off unexpectedly. Nothing more was done. Try it again; what was copied is not copied again
progress-stopping = Stopping at the next safe place
progress-looking = Looking at what is there
progress-frames = { $done } of { $of } frames
progress-checking = { $counted }: looking closer at doubtful blanks, and for copies
progress-first-set = The first set is still being read
progress-sets = { $closed ->
    [one] One set so far, another still being read
   *[other] { $closed } sets so far, another still being read
}; { $short ->
    [0] none of them short of a view
    [one] one of them short of a view:
   *[other] { $short } of them short of a view:
}
progress-set = Set { $number }: { $lacks }
progress-bytes = { $done } of { $of }
progress-filing = { $done } of { $of }, { $files } of { $all } files
progress-left-minute = less than a minute left
progress-left = about { $min } min left
progress-left-hours = about { $hours } h left
progress-lists = writing sidecars and lists
progress-pause = Pause
progress-go-on = Go on
progress-pausing = Pausing: the files in hand are read back and get their names first.
progress-paused = Paused at { $files } of { $all } files. What is in the archive is read back and under its name. The card may be taken out; put it in again before you go on, and leave the archive’s disk as it is.
progress-stop = Stop

## A closer look.

look = Looking closer
look-stopping = Looking closer: stopping
look-at-others = Looking closer at the other frames
look-at-others-count = Looking closer at the other frames: { $done } of { $of }
look-at-retakes = Looking closer at the retake list
look-at-retakes-count = Looking closer at the retake list: { $done } of { $of }
look-stop = Stop looking
look-broke-off = Looking closer broke off unexpectedly. What was seen until then stands. Begin it again

## Watching a folder.

watch = Watching { $folder }
watch-stop = Stop watching
watch-broke-off = Watching broke off unexpectedly. What was read stands. Begin it again
watch-nothing = { $why }: { $folder }
watch-reading = Watching: reading { $done } of { $of } frames
closed-incomplete = Specimen { $number } closed: { $lacks }
closed-complete = Specimen { $number } closed, complete
watch-closed = { $closed }. { $stands }
watch-none-yet = Watching: no new frame yet
watch-came = { $frames ->
    [one] Watching: 1 frame came
   *[other] Watching: { $frames } frames came
    }
watch-on = { $stands }. { $folder }
watch-being-shot = { $stands }, specimen { $specimen } is being shot. { $folder }

## Keeping the session.

save-no-thread = The session cannot be saved: this computer starts no more threads. Close other programs

## No window at all.

no-window = The window could not be opened: { $reason }. Work without it: endleaf --help lists what can be done from the command line

# The exchange step.

document-pack = Pack for a specialist
document-pack-what = Pictures with captions, to be named
document-sheets = Contact sheets
document-sheets-what = A page a specimen, a day at a glance
document-labels = Labels
document-labels-what = With a code, for jars and drawers
document-darwin-core = Darwin Core archive
document-darwin-core-what = For databases; cells exact
document-tables = Tables
document-tables-what = The same for a spreadsheet
document-bags = Bags
document-bags-what = To keep; private, exact places
scope-chosen = chosen rows
scope-chosen-n = { $n ->
    [one] the chosen row
   *[other] { $n } chosen rows
}
scope-unnamed = without an accepted name
scope-day = this day
scope-archive = the whole archive
exchange-private = Private: it holds exact places and names of people. Keep it; give it to nobody.
exchange-archive = Archive
exchange-archive-hint = the folder that sessions are filed into
exchange-choose-name = Choose: { $name }
exchange-to = To
exchange-to-folder = a new folder, outside the archive
exchange-to-file = a new file that ends in { $ending }, outside the archive
exchange-make = Make it
exchange-whole = It stands whole under its name, or not at all. Nothing is written over, nothing goes into the archive.
exchange-of = Of
exchange-choice = { $name }: { $choice }
exchange-unnamed = Without a name
exchange-unnamed-what = How sensitive does an animal count that nobody has named yet? It is asked once and can be changed. None shares its place as held; extreme withholds it.
exchange-people = names of people go out with this one
exchange-neighbours = { $n ->
    [one] A record of the stop of a sensitive animal gives its place away.
   *[other] { $n } records of the stop of a sensitive animal give its place away.
}
exchange-neighbours-do = Those
neighbours-coarse = coarsen them too
neighbours-exact = share them as held
exchange-address = Served below
exchange-address-hint = https://…, where the archive's pictures can be had
sheets-as = For
sheets-paper = paper (PDF)
sheets-page = the screen (HTML)
sheets-size = Paper
paper-a4 = A4
paper-letter = Letter
labels-jars = Jars
labels-jars-hint = a run such as 21-34, or several with commas; empty for drawers
labels-size = Label
labels-mm = { $wide } × { $high } mm
pack-to = For whom
pack-to-hint = kept as sent; empty keeps nothing
pack-frames = Pictures
pack-best = the best of each view
pack-all = all
pack-crop = Cut
pack-whole = whole pictures
pack-cropped = cut to the animal
pack-long-side = Long side
pack-px = { $px } px
pack-full-size = as large as they are
pack-at-most = Each at most
pack-any-size = any size
pack-kb = { $kb } kB
pack-as = As
pack-folder = a folder
pack-zip = one zip
exchange-made = Made
exchange-found = What others would get
exchange-nothing-yet = Name the archive and say how an animal without a name counts: then it stands here what would be shared and what would be questioned.
exchange-behind = The day was changed since it was filed. File it again first: documents are made of what is filed.
exchange-unfiled = This day is not filed in that archive. File it there first.
exchange-go-filing = To filing
exchange-records = { $records ->
    [one] One record
   *[other] { $records } records
}, { $coarsened ->
    [0] none with a coarsened place
   *[other] { $coarsened } with a coarsened or withheld place
}
exchange-question = { $n }: { $question }
exchange-numbers = { $folder }: { $numbers }
exchange-numbers-more = { $folder }: { $numbers } and { $more } more
exchange-no-questions = Nothing would be questioned.
exchange-sent = Sent to be named
exchange-sent-heard = { $to }, { $on }: heard of
exchange-sent-open = { $to }, { $on }: not heard of yet
exchange-sent-overdue = { $to }, { $on }: overdue by { $days ->
    [one] a day
   *[other] { $days } days
}
exchange-note-sent = What was sent and heard
exchange-read-answers = Read names that came back
survey-archive = Looking at the archive
survey-broke-off = Looking at the archive broke off. Nothing was written. Choose the step again.
making = Making: { $document }
making-broke-off = Making it broke off. Nothing stands under its name. Make it again.
progress-made = { $done } of { $of }
made = { $document }: { $path }
target-records = records
target-pack = { $day }-pack
target-sheets = { $day }-sheets
target-labels = { $day }-labels
target-darwin-core = darwin-core
target-tables = tables
target-bags = bags
answers-head = Names that came back: { $name }
answers-what = None of them is accepted by being taken; what is accepted stays. Rows without a name are passed over.
answers-none = { $n } without a name
answers-rows = { $n ->
    [one] one row
   *[other] { $n } rows
}
answers-adds = to be written
answers-differs = to be written beside names that differ
answers-against = to be written against { $accepted }, which stays accepted
answers-known = is there already
answers-no-specimen = no specimen of this day
answers-amiss = line { $line }, left out: { $fault }
answers-take = { $n ->
    [one] Write one name
   *[other] Write { $n } names
}
