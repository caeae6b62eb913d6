/* thawprint list: what the tables know. */
#include <stdio.h>
#include <string.h>

#include <thawprint/catalogue.h>
#include <thawprint/shelf.h>
#include <thawprint/words.h>

#include "commands.h"

#define LONGEST_DETAIL 4096

static void print_own(const char *kind, const thaw_shelf *own, bool detailed)
{
    char text[LONGEST_DETAIL];
    for (int i = 0; i < thaw_shelf_count(own, kind); i++) {
        printf("  %-22s %s\n", thaw_shelf_name(own, kind, i), thaw_shelf_remark(own, kind, i));
        if (detailed && thaw_shelf_detail(own, kind, i, text, sizeof text) > 0) {
            printf("%s", text);
        }
    }
}

static void print_table(const char *kind, const thaw_shelf *own, bool detailed)
{
    char text[LONGEST_DETAIL];
    printf("%s\n", kind);
    if (detailed && thaw_catalogue_legend(kind, text, sizeof text) > 0) {
        printf("%s\n", text);
    }
    for (int i = 0; i < thaw_catalogue_count(kind); i++) {
        printf("  %-22s %s\n", thaw_catalogue_name(kind, i), thaw_catalogue_remark(kind, i));
        if (detailed && thaw_catalogue_detail(kind, i, text, sizeof text) > 0) {
            printf("%s", text);
        }
    }
    print_own(kind, own, detailed);
}

static int count_kinds(const char *const *kinds)
{
    int n = 0;
    while (kinds[n]) {
        n++;
    }
    return n;
}

static bool know_kinds(const options *given, const char *const *kinds)
{
    for (int i = 0; i < given->n_operands; i++) {
        if (thaw_catalogue_count(given->operands[i]) < 0) {
            const char *near = thaw_words_nearest(given->operands[i], kinds, count_kinds(kinds));
            fprintf(stderr, "thawprint: there is no list of `%.40s`%s%s%s\n", given->operands[i],
                    near ? "; did you mean `" : "; known: cloths, fibres, colours, dyes, ices, folds, areas",
                    near ? near : "", near ? "`?" : "");
            return false;
        }
    }
    return true;
}

static thaw_status fill_shelf(const options *given, thaw_shelf **out, thaw_error *err)
{
    thaw_shelf *shelf = NULL;
    thaw_status status = thaw_shelf_create(&shelf, err);
    if (status == THAW_OK && given->cloths) {
        status = thaw_shelf_add_file(shelf, given->cloths, err);
    }
    if (status == THAW_OK && given->dyes && !(given->cloths && strcmp(given->cloths, given->dyes) == 0)) {
        status = thaw_shelf_add_file(shelf, given->dyes, err);
    }
    if (status != THAW_OK) {
        thaw_shelf_destroy(shelf);
        return status;
    }
    *out = shelf;
    return THAW_OK;
}

static bool know_card(const options *given)
{
    const char *other = NULL;
    for (int i = 0; i < given->n_operands; i++) {
        other = strcmp(given->operands[i], "colours") == 0 ? other : given->operands[i];
    }
    if (given->swatches && other) {
        fprintf(stderr, "thawprint: --swatches shows colours, not `%.40s`\n", other);
        return false;
    }
    if (given->cloth && !given->swatches) {
        fprintf(stderr, "thawprint: --cloth goes with --swatches FILE\n");
        return false;
    }
    return true;
}

static int draw_card(const options *given, const thaw_shelf *own)
{
    thaw_error err = {0};
    if (thaw_swatches_write(given->swatches, given->cloth, own, &err) != THAW_OK) {
        return complain(&err);
    }
    printf("%s: %d colours at 0.5, 1, 2 and 4 %% on weight of goods\n", given->swatches,
           thaw_catalogue_count("colours") + thaw_shelf_count(own, "colours"));
    return EXIT_DONE;
}

int command_list(const options *given)
{
    const char *const *kinds = thaw_catalogue_kinds();
    thaw_error err = {0};
    thaw_shelf *own = NULL;
    if (!know_kinds(given, kinds) || !know_card(given)) {
        return EXIT_USAGE;
    }
    if (fill_shelf(given, &own, &err) != THAW_OK) {
        return complain(&err);
    }
    if (given->swatches) {
        int result = draw_card(given, own);
        thaw_shelf_destroy(own);
        return result;
    }
    int shown = given->n_operands ? given->n_operands : count_kinds(kinds);
    for (int i = 0; i < shown; i++) {
        printf("%s", i ? "\n" : "");
        print_table(given->n_operands ? given->operands[i] : kinds[i], own, given->verbose);
    }
    thaw_shelf_destroy(own);
    return EXIT_DONE;
}
