# Completion of skimcut's command line for bash; needs nothing but bash. In use once it is read:  . docs/skimcut.bash

_skimcut() {
  local verbs="plan program prove sheet cutters list new schema"
  local word=${COMP_WORDS[COMP_CWORD]} option='' verb='' operands=0 only_names='' i
  COMPREPLY=()

  # What stands before the word: the verb, how many names after it, and an option that wants this word as its value.
  for ((i = 1; i < COMP_CWORD; i++)); do
    if [[ -n $option ]]; then
      # bash makes a word of its own of the = in --as=json
      [[ ${COMP_WORDS[i]} == '=' ]] || option=''
      continue
    fi
    if [[ -z $only_names && ${COMP_WORDS[i]} == -?* ]]; then
      case ${COMP_WORDS[i]} in
      --) only_names=yes ;;
      --output | --post | --measured | --as | --units) option=${COMP_WORDS[i]} ;;
      --*) ;;
      *)
        # the value of -po is o
        [[ ${COMP_WORDS[i]} =~ ^-[nqhV]*([opm])$ ]] && option=${BASH_REMATCH[1]} ;;
      esac
    elif [[ -z $verb ]]; then
      verb=${COMP_WORDS[i]}
    else
      operands=$((operands + 1))
    fi
  done
  [[ $word == '=' && -n $option ]] && word=''

  case $option in
  o | --output) _skimcut_files '*' ;;
  p | --post) _skimcut_posts; _skimcut_files '*.yaml' ;;
  m | --measured) ;;
  --as)
    case $verb in
    plan | prove | cutters) _skimcut_words "text json" ;;
    sheet) _skimcut_words "html svg" ;;
    program | list | new | schema) ;;
    *) _skimcut_words "text json html svg" ;;
    esac ;;
  --units) _skimcut_words "mm inch" ;;
  *)
    if [[ -z $only_names && $word == -* ]]; then
      case $verb in
      plan | prove) _skimcut_words "--post --measured --as --quiet --help -p -m -q -h" ;;
      program) _skimcut_words "--output --post --measured --dry-run --quiet --help -o -p -m -n -q -h" ;;
      sheet) _skimcut_words "--output --post --measured --as --quiet --help -o -p -m -q -h" ;;
      cutters) _skimcut_words "--post --as --quiet --help -p -q -h" ;;
      new) _skimcut_words "--units --quiet --help -q -h" ;;
      list | schema) _skimcut_words "--quiet --help -q -h" ;;
      *) _skimcut_words "--output --post --measured --dry-run --as --units --quiet --help --version -o -p -m -n -q -h -V" ;;
      esac
    elif [[ -z $verb ]]; then
      _skimcut_words "$verbs"
    else
      case $verb:$operands in
      plan:0 | program:0 | prove:0 | sheet:0 | cutters:0) _skimcut_files '*.yaml' ;;
      prove:1) _skimcut_files '*' ;;
      list:0) _skimcut_words "posts materials" ;;
      esac
    fi ;;
  esac
}

# Those of the words that begin like the word does.
_skimcut_words() {
  local candidate
  for candidate in $1; do
    [[ $candidate == "$word"* ]] && COMPREPLY+=("$candidate")
  done
}

# Asked of the program that is being called, so that they are its own.
_skimcut_posts() {
  local name rest
  while read -r name rest; do
    [[ $name == "$word"* ]] && COMPREPLY+=("$name")
  done < <("${COMP_WORDS[0]/#\~/$HOME}" list posts 2>/dev/null)
}

# Files that the pattern matches, and the folders they may be in.
_skimcut_files() {
  local file
  compopt -o filenames 2>/dev/null
  while IFS= read -r file; do
    # shellcheck disable=SC2053  # a pattern on purpose
    [[ -d $file || ${file##*/} == $1 ]] && COMPREPLY+=("$file")
  done < <(compgen -f -- "$word")
}

complete -F _skimcut skimcut
