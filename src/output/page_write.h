/* Putting HTML together: text that is not ours goes in through thaw_put_text only, which leaves nothing in it that a
 * browser would take for more than text. */
#ifndef THAW_OUTPUT_PAGE_WRITE_H
#define THAW_OUTPUT_PAGE_WRITE_H

#include "base/bytes.h"
#include "model/page.h"

/* The first failure is kept, and nothing is added after it. */
typedef struct thaw_html {
    thaw_bytes text;               /* own */
    bool failed;
    thaw_error *err;
} thaw_html;

/* HTML of our own, as it stands. */
void thaw_put(thaw_html *h, const char *html);
/* The same, as printf does; for numbers and words of our own. */
void thaw_putf(thaw_html *h, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Text from outside, for between tags and for attributes in double quotes. What a page may not hold (control
 * characters, broken UTF-8) and what turns the direction of writing becomes U+FFFD. */
void thaw_put_text(thaw_html *h, const char *text);
/* data: address of bytes. */
void thaw_put_data(thaw_html *h, const char *type, const void *bytes, size_t n);
/* <img> with its size; alt is text from outside. */
void thaw_put_picture(thaw_html *h, const thaw_page_picture *picture, const char *alt);
void thaw_put_table(thaw_html *h, const thaw_page_table *table);
/* As thaw_say_about and thaw_say_duration, set for a page: "4½ h", "24 h". */
const char *thaw_page_about(double t_s, char *out, size_t size);
const char *thaw_page_duration(double t_s, char *out, size_t size);
/* One coloured square of the page's own size. */
void thaw_put_patch(thaw_html *h, const unsigned char rgb[3]);

#endif
