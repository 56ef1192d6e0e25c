package android.view;

import fake.World;

public class Window {
    public final View getDecorView() {
        return new View();
    }

    public void addFlags(int flags) {
        World.log("flags + " + flags);
    }

    public void clearFlags(int flags) {
        World.log("flags - " + flags);
    }
}
