#pragma once

#include <array>
#include <optional>
#include <span>
#include <string_view>

/// The words of RFC 8348 (ietf-hardware@2018-03-13) and our own few beside them. For each
/// enumeration: `to_word` gives the word of the standard, `words_of` the whole list in the
/// standard's order.
namespace slotwitness::state {

/// RFC 8348 admin-state. The numbers are the standard's.
enum class AdminState { unknown = 1, locked, shutting_down, unlocked };
/// RFC 8348 oper-state. `enabled` means partially or fully operable.
enum class OperState { unknown = 1, disabled, enabled, testing };
/// RFC 8348 usage-state.
enum class UsageState { unknown = 1, idle, active, busy };
/// RFC 8348 standby-state.
enum class StandbyState { unknown = 1, hot_standby, cold_standby, providing_service };
/// RFC 8348 alarm-state bits. A fact holds one of them: the gravest that the device names.
enum class AlarmState { unknown = 0, under_repair, critical, major, minor, warning, indeterminate };
/// ITU-T X.733 perceived severity (from memory), in falling gravity.
enum class Severity { critical, major, minor, warning, indeterminate, cleared };
/// RFC 8348 sensor-status (`oper-status` of a sensor).
enum class SensorStatus { ok = 1, unavailable, nonoperational };

/// What a component is, in the words of gate sentences. A `neighbour` is a system that is seen at a
/// port: a "remote system" of IEEE 802.1AB, or another peer that the device lists.
enum class Kind {
    chassis,
    controller,
    module,
    plane,
    fan_tray,
    power_supply,
    port,
    neighbour,
    sensor,
    alarm
};

[[nodiscard]] std::string_view to_word(AdminState value);
[[nodiscard]] std::string_view to_word(OperState value);
[[nodiscard]] std::string_view to_word(UsageState value);
[[nodiscard]] std::string_view to_word(StandbyState value);
[[nodiscard]] std::string_view to_word(AlarmState value);
[[nodiscard]] std::string_view to_word(Severity value);
[[nodiscard]] std::string_view to_word(SensorStatus value);
[[nodiscard]] std::string_view to_word(Kind value);

/// Every value of an enumeration above, in its order. `Word` is one of the types above.
template <class Word>
[[nodiscard]] std::span<const Word> words_of();
template <>
std::span<const AdminState> words_of<AdminState>();
template <>
std::span<const OperState> words_of<OperState>();
template <>
std::span<const UsageState> words_of<UsageState>();
template <>
std::span<const StandbyState> words_of<StandbyState>();
template <>
std::span<const AlarmState> words_of<AlarmState>();
template <>
std::span<const Severity> words_of<Severity>();
template <>
std::span<const SensorStatus> words_of<SensorStatus>();
template <>
std::span<const Kind> words_of<Kind>();

/// The value whose word is `text`, exactly.
template <class Word>
[[nodiscard]] std::optional<Word> from_word(std::string_view text) {
    for (const Word word : words_of<Word>())
        if (to_word(word) == text)
            return word;
    return std::nullopt;
}

} // namespace slotwitness::state
