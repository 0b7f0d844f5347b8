#pragma once

#include "object.hpp"
#include "utf8.hpp"

#include <nlohmann/json.hpp>

#include <concepts>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

/// Inside of the codec: one list of a structure's members, by which it is both written and read. A
/// structure has `members(each, value)`, which calls `each(name, member)` for each of them; a word
/// has `words(Word{})`, all of its values.
namespace slotwitness::journal {

/// `value` is a `Structure`, to be read or to be filled.
template <class Value, class Structure>
concept Of = std::same_as<std::remove_const_t<Value>, Structure>;

/// Events have instants in milliseconds, findings as people read them.
enum class Times { milliseconds, rfc3339 };

class Writer {
  public:
    explicit Writer(Times times) : times_(times) {}
    template <class Value>
    void operator()(const char* name, const Value& value) {
        out_[name] = written(value);
    }
    template <class Value>
    void later(const char* name, const Value& value) {
        out_[name] = written(value);
    }
    [[nodiscard]] nlohmann::json take() { return std::move(out_); }

    template <class Structure>
    [[nodiscard]] nlohmann::json written(const Structure& value) const {
        if constexpr (std::is_enum_v<Structure>) {
            return std::string(to_word(value));
        } else {
            Writer inner(times_);
            members(inner, value);
            return inner.take();
        }
    }
    [[nodiscard]] nlohmann::json written(const std::string& value) const { return as_utf8(value); }
    [[nodiscard]] nlohmann::json written(bool value) const { return value; }
    [[nodiscard]] nlohmann::json written(std::uint64_t value) const {
        return std::to_string(value);
    }
    [[nodiscard]] nlohmann::json written(units::Duration value) const {
        return std::to_string(value.count());
    }
    [[nodiscard]] nlohmann::json written(units::Instant value) const {
        if (times_ == Times::rfc3339)
            return units::to_rfc3339(value);
        return std::to_string(value.time_since_epoch().count());
    }
    [[nodiscard]] nlohmann::json written(const units::Decimal& value) const {
        return value.to_text();
    }
    template <class Value>
    [[nodiscard]] nlohmann::json written(const std::optional<Value>& value) const {
        return value ? written(*value) : nlohmann::json(nullptr);
    }
    template <class Value>
    [[nodiscard]] nlohmann::json written(const std::vector<Value>& values) const {
        nlohmann::json out = nlohmann::json::array();
        for (const Value& value : values)
            out.push_back(written(value));
        return out;
    }
    [[nodiscard]] nlohmann::json written(const std::map<std::string, std::string>& values) const {
        nlohmann::json out = nlohmann::json::object();
        for (const auto& [name, value] : values)
            out[as_utf8(name)] = as_utf8(value);
        return out;
    }

  private:
    Times times_;
    nlohmann::json out_ = nlohmann::json::object();
};

class Reader {
  public:
    Reader(const Object& from, Times times) : from_(from), times_(times) {}
    template <class Value>
    void operator()(const char* name, Value& value) const {
        read(name, value);
    }
    /// A member that journals of earlier versions have not.
    template <class Value>
    void later(const char* name, Value& value) const {
        if (from_.has(name))
            read(name, value);
    }

  private:
    template <class Structure>
    void read(const char* name, Structure& value) const {
        if constexpr (std::is_enum_v<Structure>) {
            value = from_.word(name, words(Structure{}));
        } else {
            const Object inner = from_.object(name);
            Reader reader(inner, times_);
            members(reader, value);
        }
    }
    void read(const char* name, std::string& value) const { value = from_.text(name); }
    void read(const char* name, bool& value) const { value = from_.flag(name); }
    void read(const char* name, std::uint64_t& value) const {
        value = from_.number<std::uint64_t>(name);
    }
    void read(const char* name, units::Duration& value) const { value = from_.duration(name); }
    void read(const char* name, units::Instant& value) const {
        value = times_ == Times::rfc3339 ? from_.rfc3339(name) : from_.instant(name);
    }
    void read(const char* name, units::Decimal& value) const {
        const auto decimal = units::Decimal::parse(from_.text(name));
        if (!decimal)
            from_.refuse(name, "a decimal number in a string");
        value = *decimal;
    }
    void read(const char* name, std::vector<std::string>& value) const {
        value = from_.texts(name);
    }
    template <class Value>
    void read(const char* name, std::optional<Value>& value) const {
        value.reset();
        if (!from_.is_null(name))
            read(name, value.emplace());
    }
    template <class Value>
    void read(const char* name, std::vector<Value>& values) const {
        values.clear();
        for (const Object& one : from_.objects(name)) {
            Reader reader(one, times_);
            members(reader, values.emplace_back());
        }
    }
    void read(const char* name, std::map<std::string, std::string>& values) const {
        values.clear();
        const Object inner = from_.object(name);
        for (const auto& [key, value] : from_.member(name).items()) {
            if (!value.is_string())
                inner.refuse(key.c_str(), "a string");
            values[key] = value.get<std::string>();
        }
    }

    const Object& from_;
    Times times_;
};

} // namespace slotwitness::journal
