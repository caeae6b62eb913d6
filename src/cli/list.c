/* thawprint list: what the tables know. */
#include <stdio.h>
#include <string.h>

#include <thawprint/catalogue.h>
#include <thawprint/words.h>

#include "commands.h"

static void print_table(const char *kind)
{
    printf("%s\n", kind);
    for (int i = 0; i < thaw_catalogue_count(kind); i++) {
        printf("  %-22s %s\n", thaw_catalogue_name(kind, i), thaw_catalogue_remark(kind, i));
    }
}

static int count_kinds(const char *const *kinds)
{
    int n = 0;
    while (kinds[n]) {
        n++;
    }
    return n;
}

int command_list(const options *given)
{
    const char *const *kinds = thaw_catalogue_kinds();
    int n = count_kinds(kinds);
    for (int i = 0; i < given->n_operands; i++) {
        if (thaw_catalogue_count(given->operands[i]) < 0) {
            const char *near = thaw_words_nearest(given->operands[i], kinds, n);
            fprintf(stderr, "thawprint: there is no list of `%.40s`%s%s%s\n", given->operands[i],
                    near ? "; did you mean `" : "; known: cloths, colours, ices, folds, areas, shapes, set-ups",
                    near ? near : "", near ? "`?" : "");
            return EXIT_USAGE;
        }
    }
    int shown = given->n_operands ? given->n_operands : n;
    for (int i = 0; i < shown; i++) {
        printf("%s", i ? "\n" : "");
        print_table(given->n_operands ? given->operands[i] : kinds[i]);
    }
    return EXIT_DONE;
}
