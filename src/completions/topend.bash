# SPDX-License-Identifier: GPL-3.0-or-later
# shellcheck shell=bash
#
# Completion of topend for bash.

# Takes the words of the line apart: the command, the shop's folder, how many operands there are
# before the word at hand, and whether there is --all.
_topend_look() {
    local i word value=no
    command=${COMP_WORDS[1]-}
    shop=''
    operands=0
    all=no
    for ((i = 2; i < COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if [[ $word == '=' ]]; then
            value=yes
        elif [[ $value == yes ]]; then
            value=no
        elif [[ $word == --all ]]; then
            all=yes
        elif [[ $word == -o || $word =~ ^--(format|engine|explain|quantity|hours|hone|output|inspection|paper)$ ]]; then
            value=yes
        elif [[ $word != -* ]]; then
            ((operands++)) || shop=$word
        fi
    done
    # As typed, so with its quotes: these are taken off by hand, for eval would run what is in them.
    shop=${shop//[\\\"\']/}
    [[ $shop != \~/* ]] || shop=$HOME/${shop:2}
}

# Adds the words that begin with what is typed.
_topend_add() { # WORD...
    local word
    for word; do
        [[ $word != "$current"* ]] || COMPREPLY+=("$word")
    done
}

# Adds the names in the first column of a file of the shop. Only plain names, from a file whose
# header says that it begins with them: anything else is left to be typed.
_topend_add_names() { # FILE COLUMN
    local line name count=0 header=''
    [[ -f $shop/$1 && -r $shop/$1 ]] || return
    while ((count++ < 5000)) && IFS= read -r line; do
        name=${line%%[,;$'\t\r']*}
        name=${name#$'\xEF\xBB\xBF'}
        if [[ $header == '' ]]; then
            [[ $name != '' && $name != '#'* && $name != sep=* ]] || continue
            header=$name
            [[ $header == "$2" ]] || return
        elif [[ $name =~ ^[A-Za-z0-9][A-Za-z0-9._-]*$ ]]; then
            _topend_add "$name"
        fi
    done <"$shop/$1"
}

_topend_add_files() { # compgen's option
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen "$1" -- "$current")
}

_topend_add_value() { # OPTION
    case $1 in
    --format)
        if [[ $command == sheet ]]; then
            _topend_add csv html pdf
        else
            _topend_add text csv json
        fi
        ;;
    --paper) _topend_add a4 letter ;;
    --engine) _topend_add_names engines.csv engine ;;
    --explain | --quantity)
        _topend_add bore out_of_round taper out_of_round_overall taper_ends skirt skirt_clearance \
            skirt_clearance_thrust end_gap side_clearance pin pin_bore pin_clearance small_end_play \
            small_end_bore small_end_clearance
        ;;
    --output | -o)
        if [[ $all == yes ]]; then
            _topend_add_files -d
        else
            _topend_add_files -f
        fi
        ;;
    --inspection | --hours | --hone | --threads) ;;
    *) return 1 ;;
    esac
}

_topend_add_options() {
    _topend_add --help
    case $command in
    check) _topend_add --threads ;;
    assess) _topend_add --format --engine --all --explain --verdicts --no-header --keep-going --threads ;;
    trend) _topend_add --format --engine --quantity --no-header --keep-going --threads ;;
    compare) _topend_add --format --engine --no-header --keep-going ;;
    options) _topend_add --format --engine --hours --hone --findings --no-header --keep-going ;;
    sheet) _topend_add --format --output --inspection --paper --engine --keep-going ;;
    report) _topend_add --output --paper --engine --all --keep-going ;;
    due) _topend_add --format --no-header --keep-going --threads ;;
    esac
}

_topend() {
    local command shop operands all
    local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD - 1]}
    COMPREPLY=()
    _topend_look
    # --option=value is three words.
    if [[ $current == '=' ]]; then
        current=''
    elif [[ $previous == '=' ]]; then
        previous=${COMP_WORDS[COMP_CWORD - 2]}
    fi
    if ((COMP_CWORD == 1)) && [[ $current == -* ]]; then
        _topend_add --help --version
    elif ((COMP_CWORD == 1)); then
        _topend_add init check assess trend compare options sheet report due
    elif _topend_add_value "$previous"; then
        :
    elif [[ $current == -* ]]; then
        _topend_add_options
    elif ((operands == 0)); then
        _topend_add_files -d
    elif [[ $command == assess || ($command =~ ^(options|report)$ && $operands -eq 1) ]]; then
        _topend_add_names inspections.csv inspection
    fi
}

complete -F _topend topend
