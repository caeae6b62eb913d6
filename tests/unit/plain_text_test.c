/* Text of strangers: what would steer a terminal is known as such, and a sheet shows text as it stands. */
#include "base/alloc.h"
#include "base/words.h"
#include "check.h"
#include "output/drawing.h"

static void signs_that_steer_are_known_by_their_length(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int bytes;
    } cases[] = {{"", 0},          {"a", 0},           {" ", 0},           {"~", 0},          {"\x1b[31m", 1}, {"\n", 1},
                 {"\t", 1},        {"\x01", 1},        {"\x1f", 1},        {"\x7f", 1},       {"\xc2\x80", 2},   {"\xc2\x9b", 2},
                 {"\xc2\x9f", 2},    {"\u00a0", 0},      {"\u00f6", 0},      {"\u2027", 0},     {"\u2028", 3},   {"\u202e", 3},
                 {"\u202f", 0},    {"\u2065", 0},      {"\u2066", 3},      {"\u2069", 3},     {"\u206a", 0},   {"\u05d0", 0},
                 {"\U0001f30a", 0}, {"\xc2", 0},       {"\xe2\x80", 0},    {"\xe2", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(thaw_words_control(cases[i].text), cases[i].bytes);
    }
}

static thaw_image draw(const char *text)
{
    thaw_error err = {0};
    cairo_t *cairo = NULL;
    thaw_image image = {0};
    assert_int_equal(thaw_draw_begin(400, 60, &cairo, &err), THAW_OK);
    thaw_draw_text(cairo, 5.0, 5.0, 14.0, false, 390.0, text);
    assert_int_equal(thaw_draw_end(cairo, 0.001, &image, &err), THAW_OK);
    cairo_destroy(cairo);
    return image;
}

/* Pixels in which two texts differ when drawn. */
static int differ(const char *a, const char *b)
{
    thaw_image first = draw(a), second = draw(b);
    int n = 0;
    for (int i = 0; i < 3 * first.width * first.height; i++) {
        n += first.rgb[i] != second.rgb[i];
    }
    thaw_release(first.rgb);
    thaw_release(second.rgb);
    return n;
}

static void a_sheet_shows_markup_as_text(void **state)
{
    (void)state;
    assert_int_equal(differ("Gull", "Gull"), 0);
    assert_true(differ("Gull", "") > 0);
    assert_true(differ("<span>Gull</span>", "Gull") > 0);
    assert_true(differ("Gull &amp; tern", "Gull & tern") > 0);
    assert_true(differ("%s %n %d", "") > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(signs_that_steer_are_known_by_their_length),
        cmocka_unit_test(a_sheet_shows_markup_as_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
