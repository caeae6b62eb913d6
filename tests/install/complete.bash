# Prints what the completion offers, a line each. usage: complete.bash COMPLETION WORD... (the last is being typed), or
# complete.bash COMPLETION --line 'words with single blanks'
source "$1"
shift
if [[ $1 == --line ]]; then
    line=$2 COMP_WORDS=()
    line=${line//\\ /$'\001'} # an escaped blank, and one behind an open quote, belong to the word
    [[ $line == *\"* ]] && line=${line%%\"*}\"$(tr ' ' '\001' <<<"${line#*\"}")
    while [[ $line == *' '* ]]; do
        COMP_WORDS+=("${line%% *}")
        line=${line#* }
    done
    COMP_WORDS+=("$line")
    for i in "${!COMP_WORDS[@]}"; do
        [[ ${COMP_WORDS[i]} == *\"* ]] && COMP_WORDS[i]=${COMP_WORDS[i]//$'\001'/ }
        COMP_WORDS[i]=${COMP_WORDS[i]//$'\001'/\\ }
    done
else
    COMP_WORDS=("$@")
fi
COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
_thawprint
[[ ${#COMPREPLY[@]} -eq 0 ]] || printf '%s\n' "${COMPREPLY[@]}"
