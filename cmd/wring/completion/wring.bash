# Completion of wring for bash: source <(wring completion bash)
_wring() {
    # bash breaks --option=value at the sign of equality; wring wants it whole.
    local -a typed=()
    local i word glued=
    for ((i = 1; i <= COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if [[ $word == '=' || -n $glued ]] && ((${#typed[@]} > 0)); then
            typed[${#typed[@]} - 1]+=$word
        else
            typed+=("$word")
        fi
        if [[ $word == '=' ]]; then glued=yes; else glued=; fi
    done
    local whole=${typed[${#typed[@]} - 1]} current=${COMP_WORDS[COMP_CWORD]}
    [[ $current == '=' ]] && current=
    local before=${whole%"$current"} program=${COMP_WORDS[0]/#\~/$HOME} found
    COMPREPLY=()
    while IFS=$'\t' read -r found _; do
        case $found in
        :files | :folders)
            compopt -o filenames 2>/dev/null
            local kind=-f
            [[ $found == :folders ]] && kind=-d
            while IFS= read -r word; do COMPREPLY+=("$word"); done < <(compgen "$kind" -- "$current")
            ;;
        *)
            printf -v word '%q' "${found#"$before"}"
            COMPREPLY+=("$word")
            ;;
        esac
    done < <("$program" complete-words "${typed[@]}" 2>/dev/null)
}
complete -F _wring wring
