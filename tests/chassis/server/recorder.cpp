#include "recorder.hpp"

#include <nlohmann/json.hpp>

#include <chrono>

namespace slotwitness::chassis {
namespace {

std::string as_characters(std::string_view bytes) {
    std::string text;
    for (const char byte : bytes) {
        const auto value = static_cast<unsigned char>(byte);
        if (value < 0x80) {
            text.push_back(byte);
        } else {
            text.push_back(static_cast<char>(0xc0 | (value >> 6)));
            text.push_back(static_cast<char>(0x80 | (value & 0x3f)));
        }
    }
    return text;
}

} // namespace

bool Recorder::open(const std::filesystem::path& file) {
    file_.open(file, std::ios::app);
    return file_.is_open();
}

void Recorder::write(std::string_view chassis, std::uint64_t session, std::string_view type,
                     std::string_view bytes) {
    if (!file_.is_open())
        return;
    const auto now = std::chrono::duration_cast<std::chrono::milliseconds>(
        std::chrono::system_clock::now().time_since_epoch());
    const nlohmann::ordered_json line{{"time", now.count()},
                                      {"chassis", chassis},
                                      {"session", session},
                                      {"type", type},
                                      {"bytes", as_characters(bytes)}};
    file_ << line.dump() << std::endl;
}

} // namespace slotwitness::chassis
