#include "record.hpp"

#include "exit_code.hpp"

#include <slotwitness/pack/chain_store.hpp>

#include <filesystem>
#include <iostream>

namespace slotwitness::program {

tl::expected<std::unique_ptr<journal::Store>, int> open_record_or_say(const std::string& path) {
    std::error_code ignored;
    if (!std::filesystem::exists(path, ignored)) {
        std::cerr << "slotwitness: there is no journal " << path << '\n';
        return tl::unexpected(exit_no_input);
    }
    auto store = std::filesystem::is_directory(path, ignored)
                     ? pack::open_chain(path)
                     : journal::open_sqlite_read_only(path);
    if (store)
        return std::move(*store);
    std::cerr << "slotwitness: " << store.error().text << '\n';
    return tl::unexpected(exit_bad_data);
}

} // namespace slotwitness::program
