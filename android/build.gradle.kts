plugins {
    id("com.android.application") version "8.7.3" apply false
}
