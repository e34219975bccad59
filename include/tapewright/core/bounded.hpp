// SPDX-License-Identifier: BSL-1.0
// Storage that never grows: an array with a count, and a list written into somebody else's span.
#pragma once

#include <cstddef>
#include <span>
#include <string_view>

namespace tapewright {

/// Up to N values of T, held in place. An index at or past size() is the caller's mistake, as with
/// any array; `push` past the capacity is refused and told.
template <class T, std::size_t N>
struct bounded {
  T item[N] = {};
  std::size_t count = 0;

  static constexpr std::size_t capacity() noexcept { return N; }
  constexpr std::size_t size() const noexcept { return count; }
  constexpr bool empty() const noexcept { return count == 0; }
  constexpr bool push(const T& value) noexcept {
    if (count == N) return false;
    item[count++] = value;
    return true;
  }
  constexpr T& operator[](std::size_t i) noexcept { return item[i]; }
  constexpr const T& operator[](std::size_t i) const noexcept { return item[i]; }
  constexpr T* begin() noexcept { return item; }
  constexpr T* end() noexcept { return item + count; }
  constexpr const T* begin() const noexcept { return item; }
  constexpr const T* end() const noexcept { return item + count; }
  constexpr std::span<const T> all() const noexcept { return {item, count}; }
};

/// A list written into a span that the caller owns. It keeps counting past the end, so that one look
/// at `wanted()` tells how much room would have been enough; nothing is written past the end.
template <class T>
class span_list {
 public:
  constexpr span_list() noexcept = default;
  constexpr explicit span_list(std::span<T> room) noexcept : room_{room} {}

  constexpr bool push(const T& value) noexcept {
    const std::size_t at = wanted_++;
    if (at >= room_.size()) return false;
    room_[at] = value;
    return true;
  }
  constexpr void clear() noexcept { wanted_ = 0; }
  /// Forgets all but the first n; n at or above size() changes nothing.
  constexpr void keep(std::size_t n) noexcept {
    if (n < wanted_) wanted_ = n;
  }
  constexpr std::size_t size() const noexcept { return wanted_ < room_.size() ? wanted_ : room_.size(); }
  constexpr std::size_t wanted() const noexcept { return wanted_; }
  constexpr std::size_t capacity() const noexcept { return room_.size(); }
  constexpr bool overflowed() const noexcept { return wanted_ > room_.size(); }
  constexpr bool empty() const noexcept { return wanted_ == 0; }
  constexpr T& operator[](std::size_t i) noexcept { return room_[i]; }
  constexpr const T& operator[](std::size_t i) const noexcept { return room_[i]; }
  constexpr T& back() noexcept { return room_[size() - 1]; }
  constexpr T* begin() noexcept { return room_.data(); }
  constexpr T* end() noexcept { return room_.data() + size(); }
  constexpr const T* begin() const noexcept { return room_.data(); }
  constexpr const T* end() const noexcept { return room_.data() + size(); }
  constexpr std::span<T> all() noexcept { return room_.first(size()); }
  constexpr std::span<const T> all() const noexcept { return room_.first(size()); }

 private:
  std::span<T> room_{};
  std::size_t wanted_ = 0;
};

/// Text written into a caller's buffer. Like span_list it counts on past the end (`wanted`), and what
/// stands in the buffer is always whole bytes from the front; cutting is told, never silent.
class text_sink {
 public:
  constexpr text_sink() noexcept = default;
  constexpr explicit text_sink(std::span<char> room) noexcept : room_{room} {}

  constexpr text_sink& add(char c) noexcept {
    if (wanted_ < room_.size()) room_[wanted_] = c;
    ++wanted_;
    return *this;
  }
  constexpr text_sink& add(std::string_view text) noexcept {
    for (const char c : text) add(c);
    return *this;
  }
  constexpr std::size_t wanted() const noexcept { return wanted_; }
  constexpr bool cut() const noexcept { return wanted_ > room_.size(); }
  constexpr std::string_view view() const noexcept {
    return {room_.data(), wanted_ < room_.size() ? wanted_ : room_.size()};
  }

 private:
  std::span<char> room_{};
  std::size_t wanted_ = 0;
};

}  // namespace tapewright
