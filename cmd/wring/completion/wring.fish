# Completion of wring for fish: write it to ~/.config/fish/completions/wring.fish
function __wring_words
    set -l typed (commandline -opc)
    set -l part (commandline -ct)
    set -l program $typed[1]
    set -e typed[1]
    for line in ($program complete-words $typed "$part" 2>/dev/null)
        switch $line
            case ':files*'
                __fish_complete_path "$part"
            case ':folders*'
                __fish_complete_directories "$part"
            case '*'
                echo $line
        end
    end
end
complete -c wring -f -a '(__wring_words)'
