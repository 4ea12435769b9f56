# Completion of gramwell(1) for bash.
_gramwell() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} choices=
  case $before in
  --format) choices='csv json' ;;
  --state) choices='open settled' ;;
  --server | --email) return ;;
  --token-file | --events) mapfile -t COMPREPLY < <(compgen -f -- "$word"); return ;;
  *)
    case ${COMP_WORDS[1]} in
    assess) choices='--events --format --plot --output --help' ;;
    import) choices='--server --dry-run --token-file --help' ;;
    queue) choices='--server --state --json --token-file --help' ;;
    sign-in) choices='--server --email --token-file --help' ;;
    stats) choices='theil-sen mann-kendall ewma cusum local-level local-trend fisher binomial poisson benjamini-hochberg
                    gompertz logistic linear agreement lms median-mad --help' ;;
    esac
    if [ "$COMP_CWORD" = 1 ]; then choices='assess import queue sign-in stats --help --version'; fi
    ;;
  esac
  if [[ $word != -* && $COMP_CWORD -gt 1 && ${COMP_WORDS[1]} =~ ^(assess|import)$ ]]; then
    mapfile -t COMPREPLY < <(compgen -f -- "$word")
  else
    mapfile -t COMPREPLY < <(compgen -W "$choices" -- "$word")
  fi
}
complete -o filenames -F _gramwell gramwell
