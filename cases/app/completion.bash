# Completion of limbwright for bash. "limbwright completion" prints this file.
_limbwright()
{
  local word="${COMP_WORDS[COMP_CWORD]}" command="${COMP_WORDS[1]:-}" before="${COMP_WORDS[COMP_CWORD - 1]}"
  local commands="draw report compare patch size vary pounds batch match fit margins completion check begin keys materials"
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    mapfile -t COMPREPLY < <(compgen -W "$commands --help --version" -- "$word")
    return
  fi
  case "$command:$before" in
    draw:--out) mapfile -t COMPREPLY < <(compgen -d -- "$word"); return ;;
    compare:--page) mapfile -t COMPREPLY < <(compgen -f -- "$word"); return ;;
  esac
  if [[ "$word" == -* ]]; then
    local options="--help"
    case "$command" in
      draw) options+=" --out --dim --resume --quiet --no-sound --json --pictures" ;;
      patch) options+=" --length --number --quiet" ;;
      size) options+=" --weight --at --by --out --quiet" ;;
      match) options+=" --weight --at --out --quiet" ;;
      margins) options+=" --index --at --out" ;;
      fit) options+=" --scatter --out --quiet" ;;
      vary) options+=" --key --weight --at --by --out --quiet" ;;
      pounds) options+=" --at --by --lose" ;;
      batch) options+=" --bows --seed --scatter --aim --at --out --processes --quiet" ;;
      compare) options+=" --page --equal-weight" ;;
    esac
    mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
    return
  fi
  case "$command" in
    draw | check | patch | size | vary | pounds | batch | match | fit | margins) mapfile -t COMPREPLY < <(compgen -f -X '!*.toml' -- "$word"; compgen -d -- "$word") ;;
    report | compare) mapfile -t COMPREPLY < <(compgen -d -- "$word") ;;
    begin)
      if [ "$COMP_CWORD" -eq 2 ]; then
        mapfile -t COMPREPLY < <(compgen -W "$("${COMP_WORDS[0]}" begin 2>/dev/null | sed -n 's/^  \([^ ]*\).*/\1/p')" -- "$word")
      else
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
      fi
      ;;
    materials)
      mapfile -t COMPREPLY < <(compgen -W "$("${COMP_WORDS[0]}" materials 2>/dev/null | sed -n 's/^\([a-z][a-z0-9-]*\) .*/\1/p' | grep -vx name)" -- "$word")
      ;;
  esac
}
complete -o filenames -F _limbwright limbwright
