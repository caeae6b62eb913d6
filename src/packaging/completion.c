#include "pages.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/catalogue.h>

#include "cli/options.h"

/* One word inside $'...', a line break behind it. */
static void put_word(const char *word, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        printf("%s%c", word[i] == '\'' || word[i] == '\\' ? "\\" : "", word[i]);
    }
    fputs("\\n", stdout);
}

/* The words with which a help text begins: "draft, normal or fine: cells of ...". */
static void put_help_words(const char *help)
{
    const size_t whole = strcspn(help, ":;(");
    for (const char *at = help, *end = help + whole; at < end;) {
        size_t n = 0;
        while (at + n < end && (isalnum((unsigned char)at[n]) || at[n] == '-')) {
            n++;
        }
        if (n > 0 && !(n == 2 && strncmp(at, "or", 2) == 0)) {
            put_word(at, n);
        }
        at += n > 0 ? n : 1;
    }
}

static void put_entries(const char *kind)
{
    for (int i = 0; i < thaw_catalogue_count(kind); i++) {
        const char *name = thaw_catalogue_name(kind, i);
        put_word(name, strlen(name));
    }
}

/* What may stand behind a flag. */
static void put_value(const flag_row *flag)
{
    char kind[64];
    snprintf(kind, sizeof kind, "%ss", flag->name);
    printf("    ");
    if (flag->letter) { /* the last of joined letters, too */
        printf("-%c|-[!-]*%c|", flag->letter, flag->letter);
    }
    printf("--%s) ", flag->name);
    if (strcmp(flag->value, "DIR") == 0 || strcmp(flag->value, "FOLDER") == 0) {
        printf("kind=folders");
    } else if (strstr(flag->value, "FILE")) {
        printf("kind=files");
    } else if (strcmp(flag->value, "WORD") == 0) {
        printf("kind=words words=$'");
        put_help_words(flag->help);
        printf("'");
    } else if (strcmp(flag->value, "NAME") == 0 && thaw_catalogue_count(kind) > 0) {
        printf("kind=words words=$'");
        put_entries(kind);
        printf("'");
    } else {
        printf("kind=nothing");
    }
    printf(" ;;\n");
}

static void put_values(void)
{
    flag_row flag;
    printf("# What may stand behind a flag: sets kind and words of the caller; kind stays empty where it takes no value.\n"
           "_thawprint_value()\n{\n    kind='' words=''\n    case $1 in\n");
    for (int i = 0; options_flag_row(i, &flag); i++) {
        if (flag.value) {
            put_value(&flag);
        }
    }
    printf("    esac\n}\n\n");
}

/* Are all operands of one kind? "[SCENARIO]" and "SCENARIO..." are SCENARIO; "SCENARIO PIECES" is not. */
static bool all_are(const char *operands, const char *word)
{
    const char *at = operands + strspn(operands, "[");
    const size_t n = strlen(word);
    return strncmp(at, word, n) == 0 && strspn(at + n, ".]") == strlen(at + n);
}

static void put_operands(const char *operands)
{
    if (all_are(operands, "FOLDER")) {
        printf("kind=folders");
    } else if (all_are(operands, "SCENARIO")) {
        printf("kind=scenarios");
    } else if (all_are(operands, "WHAT")) {
        printf("kind=words words=$'");
        for (const char *const *kinds = thaw_catalogue_kinds(); *kinds; kinds++) {
            put_word(*kinds, strlen(*kinds));
        }
        printf("'");
    } else {
        printf("kind=files");
    }
}

static void put_flags(int command)
{
    flag_row flag;
    printf("flags=$'");
    for (int i = 0; options_flag_row(i, &flag); i++) {
        if (options_flag_fits(i, command)) {
            printf("--%s\\n", flag.name);
        }
    }
    printf("'");
}

static void put_commands(void)
{
    command_row command;
    printf("# What a command takes, or the program without one: sets kind, words and flags of the caller.\n"
           "_thawprint_command()\n{\n    kind=nothing words='' flags=''\n    case $1 in\n    '') kind=words words=$'");
    for (int i = 0; options_command_row(i, &command); i++) {
        put_word(command.name, strlen(command.name));
    }
    printf("' ");
    put_flags(-1);
    printf(" ;;\n");
    for (int i = 0; options_command_row(i, &command); i++) {
        printf("    %s) ", command.name);
        put_operands(command.operands);
        printf(" ");
        put_flags(i);
        printf(" ;;\n");
    }
    printf("    esac\n}\n\n");
}

/* What does not depend on the tables. */
static const char *const FRAME[] = {
    "# The words, a line each, that begin with what was typed; escaped unless the user opened a quote.\n"
    "_thawprint_words()\n{\n"
    "    local typed=$1 quote='' word\n"
    "    case $typed in\n"
    "    [\\'\\\"]*) quote=yes typed=${typed:1} ;;\n"
    "    *) typed=${typed//\\\\/} ;;\n"
    "    esac\n"
    "    while IFS= read -r word; do\n"
    "        [[ -n $word && $word == \"$typed\"* ]] || continue\n"
    "        [[ $quote ]] || printf -v word %q \"$word\"\n"
    "        COMPREPLY+=(\"$word\")\n"
    "    done <<<\"$2\"\n"
    "}\n\n",
    "# Files below what was typed; $2 is a pattern that names of files (not folders) must match.\n"
    "_thawprint_files()\n{\n"
    "    local typed=$1 path\n"
    "    typed=${typed#[\\'\\\"]} typed=${typed//\\\\/}\n"
    "    [[ $typed == '~/'* ]] && typed=$HOME${typed:1}\n"
    "    compopt -o filenames 2>/dev/null\n"
    "    while IFS= read -r path; do\n"
    "        [[ -d $path || $path == $2 ]] && COMPREPLY+=(\"$path\")\n"
    "    done < <(compgen -f -- \"$typed\")\n"
    "}\n\n",
    "_thawprint()\n{\n"
    "    local typed=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command='' ended='' kind words flags i\n"
    "    COMPREPLY=()\n"
    "    # bash splits --flag=value in three.\n"
    "    if [[ $typed == '=' ]]; then\n"
    "        typed=''\n"
    "    elif [[ $before == '=' ]]; then\n"
    "        before=${COMP_WORDS[COMP_CWORD-2]}\n"
    "        [[ $before == --* ]] || return 0\n"
    "    fi\n"
    "    for ((i = 1; i < COMP_CWORD; i++)); do\n"
    "        case ${COMP_WORDS[i]} in\n"
    "        --) ended=yes ;;\n"
    "        =) ((i++)) ;;\n"
    "        -*) [[ $ended ]] && continue\n"
    "            _thawprint_value \"${COMP_WORDS[i]}\"\n"
    "            [[ $kind && ${COMP_WORDS[i+1]} == '=' ]] && ((i++))\n"
    "            [[ $kind ]] && ((i++)) ;;\n"
    "        *) [[ $command ]] || command=${COMP_WORDS[i]} ;;\n"
    "        esac\n"
    "    done\n"
    "    kind=''\n"
    "    [[ $ended ]] || _thawprint_value \"$before\"\n"
    "    if [[ ! $kind ]]; then\n"
    "        _thawprint_command \"$command\"\n"
    "        if [[ $typed == -* && ! $ended ]]; then\n"
    "            kind=words words=$flags\n"
    "        fi\n"
    "    fi\n"
    "    case $kind in\n"
    "    words) _thawprint_words \"$typed\" \"$words\" ;;\n"
    "    folders) _thawprint_files \"$typed\" '' ;;\n"
    "    scenarios) _thawprint_files \"$typed\" '*.y*(a)ml' ;;\n"
    "    files) _thawprint_files \"$typed\" '*' ;;\n"
    "    esac\n"
    "}\n"
    "complete -F _thawprint thawprint\n"};

void pages_bash(void)
{
    printf("# bash completion for thawprint, made from the program's table of commands and options.\n\n");
    put_values();
    put_commands();
    for (size_t i = 0; i < sizeof FRAME / sizeof FRAME[0]; i++) {
        fputs(FRAME[i], stdout);
    }
}
