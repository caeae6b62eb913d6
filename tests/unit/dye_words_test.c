/* Dyes are called what the file calls them. */
#include <stdio.h>
#include <string.h>

#include "data/dyes.h"
#include "study/dye_words.h"
#include "study/outcome.h"

#include "check.h"

/* The words for the dye of that name in a file of these colours; "" if it is not there. */
static const char *words_of(const char *dye, const thaw_colour *const *colours, int n, char out[THAW_DYE_NAME])
{
    static thaw_specification spec;
    static thaw_outcome work;
    spec.n_dye = n;
    for (int z = 0; z < n; z++) {
        spec.dye[z].colour = colours[z];
    }
    work.spec = &spec;
    thaw_outcome_list_dyes(&work);
    for (int i = 0; i < work.dyes.n; i++) {
        if (strcmp(work.dyes.components[i]->name, dye) == 0) {
            return thaw_dye_words(&spec, &work.dyes, i, out);
        }
    }
    return "";
}

static void every_single_colour_of_the_list_is_called_by_its_own_name(void **state)
{
    (void)state;
    for (int i = 0; i < thaw_colours_count(); i++) {
        const thaw_colour *colour = thaw_colours_at(i);
        char words[THAW_DYE_NAME];
        for (int p = 0; p < colour->n_parts; p++) {
            const char *dye = thaw_components_at(colour->parts[p].component)->name;
            words_of(dye, &colour, 1, words);
            assert_true(strncmp(words, colour->name, strlen(colour->name)) == 0);
            if (colour->n_parts == 1) {
                assert_string_equal(words, colour->name);
            }
        }
    }
}

static void parts_of_mixtures_name_the_mixture(void **state)
{
    (void)state;
    const thaw_colour *navy[] = {thaw_colours_find("navy")};
    const thaw_colour *two[] = {thaw_colours_find("navy"), thaw_colours_find("black")};
    const thaw_colour *both[] = {thaw_colours_find("navy"), thaw_colours_find("magenta")};
    const thaw_colour *many[] = {thaw_colours_find("navy"), thaw_colours_find("black"), thaw_colours_find("fire red")};
    thaw_colour mixed = *navy[0];
    const thaw_colour *mixture[] = {&mixed};
    char words[THAW_DYE_NAME];
    mixed.name = "2 blue + 1 navy";
    assert_string_equal(words_of("magenta", navy, 1, words), "navy (its magenta part)");
    assert_string_equal(words_of("navy", navy, 1, words), "navy (its navy part)");
    assert_string_equal(words_of("magenta", two, 2, words), "navy and black (their magenta part)");
    assert_string_equal(words_of("magenta", both, 2, words), "magenta, also in navy");
    assert_string_equal(words_of("magenta", many, 3, words), "navy and others (their magenta part)");
    assert_string_equal(words_of("magenta", mixture, 1, words), "your mixture (its magenta part)");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_single_colour_of_the_list_is_called_by_its_own_name),
        cmocka_unit_test(parts_of_mixtures_name_the_mixture),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
