set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)

if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE Release)
endif()
# -O3 takes a quarter longer to build and made nothing measurably faster here.
set(CMAKE_CXX_FLAGS_RELEASE "-O2 -DNDEBUG")

# Empty, "address" (with undefined behaviour) or "thread": set by the presets.
set(SLOTWITNESS_SANITIZER "" CACHE STRING "address, thread or empty")
option(SLOTWITNESS_SANITIZE_ALL "Under a sanitizer, build the tests that name the other one too" OFF)

add_library(slotwitness_flags INTERFACE)
target_compile_options(slotwitness_flags INTERFACE -Wall -Wextra -Wconversion -Werror)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # g++ 12 sees overlapping and overlong copies in std::string's operator+ where there are none (GCC bug 105651),
  # and takes the operators by which Asio allocates the frames of member coroutines for a wrong pair.
  target_compile_options(slotwitness_flags INTERFACE -Wno-restrict -Wno-array-bounds -Wno-stringop-overflow
                         -Wno-stringop-overread -Wno-mismatched-new-delete)
endif()

if(CMAKE_UNITY_BUILD AND CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  # Several sources of a target are compiled as one: half of a clean build's time. To g++ each then looks like a
  # header, in which an unnamed namespace would be an error.
  target_compile_options(slotwitness_flags INTERFACE -Wno-subobject-linkage)
endif()

if(SLOTWITNESS_SANITIZER STREQUAL "address")
  add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer -g1 -O1)
  add_link_options(-fsanitize=address,undefined)
elseif(SLOTWITNESS_SANITIZER STREQUAL "thread")
  add_compile_options(-fsanitize=thread -fno-omit-frame-pointer -g1 -O1)
  add_link_options(-fsanitize=thread)
endif()
if(SLOTWITNESS_SANITIZER STREQUAL "address" AND NOT SLOTWITNESS_SANITIZE_ALL)
  # Checks of each single access make a quarter of this build's time, and what they find first is a null pointer, at
  # which AddressSanitizer stops as well. The long run has them, and deploy/fuzz.
  add_compile_options(-fno-sanitize=null,alignment,object-size,vptr)
endif()
if(SLOTWITNESS_SANITIZER)
  # g++ 12 warns wrongly about uninitialised and out-of-bounds memory in instrumented code.
  add_compile_options(-Wno-maybe-uninitialized -Wno-stringop-overflow -Wno-tsan)
endif()
