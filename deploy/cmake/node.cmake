# slotwitness_node_modules(NAME): what package-lock.json of this folder pins is installed beside the build, in
# <build>/NAME, so that the sources stay as they are. Sets NODE, and `modules` to that folder.
function(slotwitness_node_modules name)
  find_program(NODE NAMES node nodejs REQUIRED)
  find_program(NPM npm REQUIRED)
  set(modules ${CMAKE_BINARY_DIR}/${name})
  add_custom_command(OUTPUT ${modules}/installed
    COMMAND ${CMAKE_COMMAND} -E copy package.json package-lock.json ${modules}/
    COMMAND ${NPM} ci --prefix ${modules} --ignore-scripts --no-audit --no-fund --silent
    COMMAND ${CMAKE_COMMAND} -E touch ${modules}/installed
    DEPENDS package.json package-lock.json
    WORKING_DIRECTORY ${CMAKE_CURRENT_SOURCE_DIR} VERBATIM)
  add_custom_target(${name}_modules ALL DEPENDS ${modules}/installed)
  set(modules ${modules} PARENT_SCOPE)
endfunction()
