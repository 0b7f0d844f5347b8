# The libraries' headers that most sources read, read once a set. They change no arrow between rooms, since none of
# ours is among them, and `deploy/lint` builds without, so that each source still includes what it uses.
function(_slotwitness_headers name)
  cmake_parse_arguments(set "" "" "LIBRARIES;HEADERS" ${ARGN})
  # A target of precompiled headers needs a source.
  file(GENERATE OUTPUT ${CMAKE_BINARY_DIR}/${name}.cpp CONTENT "")
  add_library(${name} OBJECT ${CMAKE_BINARY_DIR}/${name}.cpp)
  target_link_libraries(${name} PRIVATE slotwitness_flags ${set_LIBRARIES})
  target_precompile_headers(${name} PRIVATE ${set_HEADERS})
endfunction()

# For rooms that read and decide: nothing of input, output, network or chance.
set(pure <algorithm> <array> <charconv> <chrono> <functional> <map> <memory> <optional> <set> <span> <string>
         <string_view> <tuple> <utility> <variant> <vector> <boost/container/flat_map.hpp> <tl/expected.hpp>)
_slotwitness_headers(pure_headers LIBRARIES Boost::headers HEADERS ${pure})

# For rooms at the rim: those, files, JSON and Asio's coroutines.
_slotwitness_headers(rim_headers LIBRARIES Boost::headers Threads::Threads nlohmann_json::nlohmann_json
  HEADERS ${pure} <filesystem> <fstream>
  <nlohmann/json.hpp> <boost/asio/any_io_executor.hpp> <boost/asio/awaitable.hpp>
  <boost/asio/bind_cancellation_slot.hpp> <boost/asio/cancellation_signal.hpp> <boost/asio/co_spawn.hpp>
  <boost/asio/detached.hpp> <boost/asio/io_context.hpp> <boost/asio/ip/tcp.hpp>
  <boost/asio/local/stream_protocol.hpp> <boost/asio/redirect_error.hpp> <boost/asio/steady_timer.hpp>
  <boost/asio/this_coro.hpp> <boost/asio/use_awaitable.hpp> <boost/asio/write.hpp>)
unset(pure)
