# slotwitness_room(NAME [RIM] [MAY_INCLUDE room…] [LIBRARIES target…] [SHOWS target…] SOURCES file…)
# One room of the house: MAY_INCLUDE lists the rooms that it sees, SHOWS the libraries whose types
# stand in its headers, LIBRARIES those that stay inside its .cpp files. RIM for a room of input and output.
function(slotwitness_room name)
  cmake_parse_arguments(room "RIM" "" "MAY_INCLUDE;LIBRARIES;SHOWS;SOURCES" ${ARGN})
  _slotwitness_check_sources(${name} "${room_SOURCES}")
  if(room_SOURCES)
    add_library(${name} STATIC ${room_SOURCES})
    set(reach PUBLIC)
    target_link_libraries(${name} PRIVATE slotwitness_flags ${room_LIBRARIES})
    if(room_RIM)
      target_precompile_headers(${name} REUSE_FROM rim_headers)
    else()
      target_precompile_headers(${name} REUSE_FROM pure_headers)
    endif()
  else()
    add_library(${name} INTERFACE)
    set(reach INTERFACE)
  endif()
  target_link_libraries(${name} ${reach} ${room_MAY_INCLUDE} ${room_SHOWS})
  # A room stands in an include path of its own making, so that it is seen only where it is linked.
  get_filename_component(here ${CMAKE_CURRENT_SOURCE_DIR} NAME)
  set(door ${CMAKE_BINARY_DIR}/rooms/${name}/slotwitness)
  file(MAKE_DIRECTORY ${door})
  file(CREATE_LINK ${CMAKE_CURRENT_SOURCE_DIR} ${door}/${here} SYMBOLIC)
  target_include_directories(${name} ${reach} ${CMAKE_BINARY_DIR}/rooms/${name})
endfunction()

# slotwitness_test(NAME [SANITIZE address|thread|both|long] [OPTIMIZED] [APART suite] [SHARDS number] [LABELS label…]
#                  [LIBRARIES target…] SOURCES file…)
# One GoogleTest program. APART names a suite that runs beside the others, since it takes as long as they do; SHARDS says
# into how many parts the tests are dealt that run beside each other, since they wait more than they compute. The release
# preset runs all programs; each sanitizer preset runs those that name it, and
# with SLOTWITNESS_SANITIZE_ALL all that name anything ("long": only then). What is tested is built as ever; the
# tests' own sources are optimized only where a test computes much, since building them is most of the time of a
# clean run.
function(slotwitness_test name)
  cmake_parse_arguments(test "OPTIMIZED" "SANITIZE;TIMEOUT;APART;SHARDS" "LABELS;LIBRARIES;SOURCES;ENVIRONMENT" ${ARGN})
  if(SLOTWITNESS_SANITIZER AND NOT test_SANITIZE MATCHES "^(both|${SLOTWITNESS_SANITIZER})$"
     AND NOT (SLOTWITNESS_SANITIZE_ALL AND test_SANITIZE))
    return()
  endif()
  if(NOT test_TIMEOUT)
    set(test_TIMEOUT 300)
  endif()
  add_executable(${name} ${test_SOURCES})
  target_link_libraries(${name} PRIVATE slotwitness_flags ${test_LIBRARIES} GTest::gmock GTest::gtest
                                        GTest::gtest_main)
  if(NOT test_OPTIMIZED)
    target_compile_options(${name} PRIVATE -O0)
    target_precompile_headers(${name} REUSE_FROM test_headers)
  endif()
  # What is tested is watched for undefined behaviour; to watch the tests as well costs a clean run too much.
  if(SLOTWITNESS_SANITIZER STREQUAL "address" AND NOT SLOTWITNESS_SANITIZE_ALL)
    target_compile_options(${name} PRIVATE -fno-sanitize=undefined)
  endif()
  target_compile_definitions(${name} PRIVATE
    SLOTWITNESS_FIXTURES="${PROJECT_SOURCE_DIR}/fixtures"
    SLOTWITNESS_TESTS="${PROJECT_SOURCE_DIR}/tests"
    SLOTWITNESS_BIN="${CMAKE_BINARY_DIR}/bin")
  set(runs ${name})
  if(test_APART)
    add_test(NAME ${name} COMMAND ${name} --gtest_filter=-${test_APART}.*)
    add_test(NAME ${name}.${test_APART} COMMAND ${name} --gtest_filter=${test_APART}.*)
    list(APPEND runs ${name}.${test_APART})
  elseif(test_SHARDS)
    set(runs "")
    foreach(number RANGE 1 ${test_SHARDS})
      math(EXPR index "${number} - 1")
      add_test(NAME ${name}.${number} COMMAND ${CMAKE_COMMAND} -E env GTEST_TOTAL_SHARDS=${test_SHARDS}
               GTEST_SHARD_INDEX=${index} $<TARGET_FILE:${name}>)
      list(APPEND runs ${name}.${number})
    endforeach()
  else()
    add_test(NAME ${name} COMMAND ${name})
  endif()
  # What may take longest begins first, so that nothing else waits for it at the end.
  set_tests_properties(${runs} PROPERTIES TIMEOUT ${test_TIMEOUT} COST ${test_TIMEOUT} LABELS "${test_LABELS}")
  # Many small pieces of memory come and go here: glibc keeping more of them at hand (7 of a size, if not told) saves
  # a fifth of what the long tests compute.
  set_tests_properties(${runs} PROPERTIES ENVIRONMENT "GLIBC_TUNABLES=glibc.malloc.tcache_count=2000;${test_ENVIRONMENT}")
  set_property(GLOBAL APPEND PROPERTY SLOTWITNESS_TESTS ${name})
endfunction()

# A source that no list names is a test that nobody runs: configuring fails.
function(_slotwitness_check_sources name sources)
  file(GLOB found RELATIVE ${CMAKE_CURRENT_SOURCE_DIR} CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.cpp)
  foreach(file IN LISTS found)
    if(NOT file IN_LIST sources)
      message(FATAL_ERROR "${CMAKE_CURRENT_SOURCE_DIR}/${file} is in no source list (target ${name})")
    endif()
  endforeach()
endfunction()
