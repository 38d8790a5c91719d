#compdef wring
# Completion of wring for zsh: a file _wring in a folder of $fpath, or
# source <(wring completion zsh) behind compinit.
_wring() {
    local line word meaning
    local -a found shown
    for line in "${(@f)$("${(Q)words[1]}" complete-words "${(@Q)words[2,CURRENT]}" 2>/dev/null)}"; do
        word=${line%%$'\t'*}
        meaning=${line#*$'\t'}
        case $word in
        '') ;;
        :files) _files ;;
        :folders) _files -/ ;;
        *)
            found+=("$word")
            shown+=("${word}${meaning:+  -- $meaning}")
            ;;
        esac
    done
    ((${#found})) && compadd -l -d shown -a found
}
if [[ ${funcstack[1]} == _wring ]]; then
    _wring "$@"
else
    compdef _wring wring
fi
