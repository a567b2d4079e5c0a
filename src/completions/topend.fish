# SPDX-License-Identifier: GPL-3.0-or-later
#
# Completion of topend for fish.

# Whether the command is one of those named; without a name, whether there is none yet.
function __topend_is
    set -l words (commandline -opc)
    if test (count $argv) -eq 0
        test (count $words) -eq 1
    else
        test (count $words) -gt 1; and contains -- $words[2] $argv
    end
end

# The operands before the word at hand, one a line.
function __topend_operands
    set -l value no
    for word in (commandline -opc)[3..-1]
        if test $value = yes
            set value no
        else if string match -qr -- '^(-o|--(format|engine|explain|quantity|hours|hone|output|inspection|paper))$' $word
            set value yes
        else if not string match -q -- '-*' $word
            echo -- $word
        end
    end
end

# Whether that many operands stand before the word at hand.
function __topend_has
    test (__topend_operands | count) -eq $argv[1]
end

# The names in the first column of a file of the shop. Only plain names, from a file whose header
# says that it begins with them: anything else is left to be typed.
function __topend_names --argument-names file column
    set -l shop (__topend_operands)[1]
    test -n "$shop"; or return
    set shop (string replace -r '^~/' "$HOME/" -- $shop)
    test -f $shop/$file -a -r $shop/$file; or return
    set -l first yes
    head -n 5000 -- $shop/$file | while read -l line
        set -l name (string replace -r '[,;\t\r].*' '' -- $line | string replace -r '^\x{FEFF}' '')
        if test $first = yes
            string match -qr -- '^(#|sep=|$)' "$name"; and continue
            set first no
            test "$name" = $column; or return
        else if string match -qr '^[A-Za-z0-9][A-Za-z0-9._-]*$' -- "$name"
            echo $name
        end
    end
end

set -l quantities 'bore out_of_round taper out_of_round_overall taper_ends skirt skirt_clearance
    skirt_clearance_thrust end_gap side_clearance pin pin_bore pin_clearance small_end_play
    small_end_bore small_end_clearance'

complete -c topend -f
complete -c topend -s h -l help -d 'show help'
complete -c topend -n __topend_is -l version -d 'show the version'

complete -c topend -n __topend_is -a init -d 'make a new shop folder to fill in'
complete -c topend -n __topend_is -a check -d 'list errors and probable slips in every file'
complete -c topend -n __topend_is -a assess -d 'judge what was measured against the limits'
complete -c topend -n __topend_is -a trend -d 'how fast parts wear, and when limits are met'
complete -c topend -n __topend_is -a compare -d 'set the builds of an engine side by side'
complete -c topend -n __topend_is -a options -d 'what to replace, and how long it would last'
complete -c topend -n __topend_is -a sheet -d 'what to measure next, to fill in or to print'
complete -c topend -n __topend_is -a report -d 'the report to file or to hand over'
complete -c topend -n __topend_is -a due -d 'which engine is due first, and by what'

complete -c topend -n 'not __topend_is; and __topend_has 0' -a '(__fish_complete_directories)'
complete -c topend -n '__topend_is assess; and not __topend_has 0' \
    -a '(__topend_names inspections.csv inspection)' -d inspection
complete -c topend -n '__topend_is options report; and __topend_has 1' \
    -a '(__topend_names inspections.csv inspection)' -d inspection

complete -c topend -n '__topend_is assess trend compare options due' -l format -x -a 'text csv json' \
    -d 'the form'
complete -c topend -n '__topend_is sheet' -l format -x -a 'csv html pdf' -d 'the form'
complete -c topend -n '__topend_is sheet report' -s o -l output -r -F -d 'where to write to'
complete -c topend -n '__topend_is sheet' -l inspection -x -d 'the name of the inspection to come'
complete -c topend -n '__topend_is sheet report' -l paper -x -a 'a4 letter' -d 'for PDF'
complete -c topend -n '__topend_is assess trend compare options sheet report' -l engine -x \
    -a '(__topend_names engines.csv engine)' -d 'this engine alone'
complete -c topend -n '__topend_is assess report' -l all \
    -d 'every inspection, not only the last of each engine'
complete -c topend -n '__topend_is assess' -l explain -x -a $quantities \
    -d 'every reading, correction and component of uncertainty'
complete -c topend -n '__topend_is trend' -l quantity -x -a $quantities -d 'only this quantity'
complete -c topend -n '__topend_is options' -l hours -x -d 'only what is known to last so long'
complete -c topend -n '__topend_is options' -l hone -x \
    -d 'what honing takes off a bored cylinder, mm'
complete -c topend -n '__topend_is options' -l findings \
    -d 'with --format csv: one row a predicted finding'
complete -c topend -n '__topend_is assess' -l verdicts \
    -d 'with --format csv: one row a verdict, not a finding'
complete -c topend -n '__topend_is assess trend compare options due' -l no-header \
    -d 'with --format csv: rows alone'
complete -c topend -n '__topend_is assess trend compare options sheet report due' -l keep-going \
    -d 'do the engines that the errors do not touch'
complete -c topend -n '__topend_is check assess trend due' -l threads -x -a '1 2 4' \
    -d 'at most so many at once'
