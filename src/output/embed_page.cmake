# The page's style and script as C arrays, each with the SHA-256 that the page's security policy names:
# cmake -DCSS=page.css -DJS=page.js -DOUT=page_parts.c -P embed_page.cmake
function(embed name path)
  file(READ ${path} hex HEX)
  file(SHA256 ${path} sum)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  file(APPEND ${OUT} "const char thaw_page_${name}[] = {${bytes}0x00};\nconst char thaw_page_${name}_sha256[] = \"${sum}\";\n")
endfunction()
file(WRITE ${OUT} "/* Made from page.css and page.js. */\n#include \"output/page_parts.h\"\n")
embed(style ${CSS})
embed(script ${JS})
